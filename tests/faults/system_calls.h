#ifndef RUNDLET_TESTS_FAULTS_SYSTEM_CALLS_H_
#define RUNDLET_TESTS_FAULTS_SYSTEM_CALLS_H_

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace rundlet::testing {

// Counts, by strace, the system calls by which a program changes what is on disk - writes, flushes,
// renames, truncations, deletions -, and lets one of them fail or be the program's last. Only the
// program's first thread is looked at: with our client, the one that works on the book.
//
// The words that these give stand before the program's own (ClientProcess::RunUnder).

// Writes the calls to a file, to be counted by CountCalls; where a client's home is given, only
// those on its files.
std::vector<std::string> Watching(const std::string& path, const std::string& home = "");
// How often each call was made, by its name.
std::map<std::string, int> CountCalls(const std::string& path);

// SIGKILL as the `at`-th call of this name begins, counted from 1: it is not made any more.
std::vector<std::string> KilledAt(const std::string& call, int at);
// The `at`-th call on a file of this home fails by this error ("EIO", "ENOSPC") and does nothing;
// if `and_after`, each one after it, too. Calls on the network's files are left alone: they are no
// disk.
std::vector<std::string> FailingAt(const std::string& home, const std::string& call, int at,
                                   const std::string& error, bool and_after);

// No file can become larger than so many bytes: a write across the border is a short one, and the
// next fails.
std::vector<std::string> WithFilesUpTo(int64_t bytes);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_SYSTEM_CALLS_H_
