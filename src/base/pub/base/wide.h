/* For functions with loops over many samples: the compiler makes them twice, for any processor and for those
 * with AVX2, and the right one is taken when the program starts. Whole numbers and sums in a fixed order, so
 * both give the same. */
#ifndef BASE_WIDE_H
#define BASE_WIDE_H

/* Put before the function: WIDE static void add_rows(...). On other processors the function is made once. gcc and
 * clang know target_clones; it needs a system whose loader picks functions at start (ELF's indirect functions,
 * as Linux with glibc has them). */
#ifdef __x86_64__
#define WIDE __attribute__((target_clones("avx2", "default")))
#else
#define WIDE
#endif

#endif
