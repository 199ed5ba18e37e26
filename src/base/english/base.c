/* What base says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_base[] = {
    {"another-run-is-at-work-in",
     "another run is at work in {folder}; wait for it or give this one --out DIR"},
    {"can-be-or-write-one-you",
     "\"{written}\" can be {without} or {with_point}; write the one you mean, without a comma"},
    {"could-not-be-read-its-reader", "{subject} could not be read: its reader failed ({exited?status|signal} "
                                     "{status}); the file is damaged, or needs more memory than allowed"},
    {"folder-cannot-be-made", "the folder {path} cannot be made: {why}"},
    {"folders-name-is-too-long", "the folder's name is too long: {folder}"},
    {"has-bytes-at-most-are-read", "{path} has {bytes} bytes; at most {most} are read here"},
    {"helper-program-could-not-be-started", "the helper program {arguments} could not be started: {number}"},
    {"is-empty-or-has-more-than", "{path} is empty, or has more than {most} bytes"},
    {"its-reader-gave-no-end-of", "{subject}: its reader gave no end of answers"},
    {"no-memory", "lapstrake: this machine has no memory left for the job; nothing was half-written\n"},
    {"no-process-could-be-started", "no process could be started: {why}"},
    {"path-cannot-be-listed-why", "{path} cannot be listed: {why}"},
    {"path-cannot-be-opened-why", "{path} cannot be opened: {why}"},
    {"path-cannot-be-removed-why", "{path} cannot be removed: {why}"},
    {"path-is-not-file", "{path} is not a file"},
    {"reading-it-was-stopped-time-or", "{subject}: reading it was stopped (time or memory ran out)"},
    {"report-cut", "... and more; the first {shown} are shown\n"},
    {"shared-memory-cannot-be-mapped", "shared memory cannot be mapped: {why}"},
    {"to-read-it-or-to-render",
     "{subject}: to read it or to render one page takes more than {seconds} s of processor time: it is "
     "damaged or far too complicated; ask for a simpler file{patience}"},
    {"waiting-for-helper-failed", "waiting for a helper failed: {why}"},
};
const size_t english_base_count = sizeof english_base / sizeof *english_base;
