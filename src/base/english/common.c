/* Sentences that more than one room says. See base/sentence.h. */
#include "../english.h"

const struct sentence english_common[] = {
    {"as-said", "{words}"},
    {"cannot-be-read-again", "{path} cannot be read again"},
    {"file-is-damaged", "the file is damaged: {why}"},
    {"file-is-empty", "the file is empty"},
    {"it-is-not-icc-profile", "it is not an ICC profile"},
    {"no-memory-to-share-with-reader", "no memory to share with a reader: {why}"},
    {"no-pipe-left-why", "no pipe left: {why}"},
    {"path-cannot-be-read", "{path} cannot be read"},
    {"path-cannot-be-read-trouble", "{path} cannot be read: {trouble}"},
    {"path-cannot-be-written-why", "{path} cannot be written: {why}"},
    {"path-trouble", "{path}: {trouble}"},
    {"stopped", "stopped"},
};
const size_t english_common_count = sizeof english_common / sizeof *english_common;
