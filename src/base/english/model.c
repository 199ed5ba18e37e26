/* What model says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_model[] = {
    {"must-be-whole-number-from-you", "{what} must be a whole number from {least}; you wrote \"{written}\""},
    {"must-be-you-wrote", "{what} must be {right}; you wrote \"{written}\""},
};
const size_t english_model_count = sizeof english_model / sizeof *english_model;
