#ifndef RUNDLET_TESTS_FAULTS_BOOK_H_
#define RUNDLET_TESTS_FAULTS_BOOK_H_

#include <cstdint>
#include <string>
#include <vector>

namespace rundlet::testing {

// A line of a device's book, as it lies in the file.
struct BookLine {
  std::string entry_id;  // as text
  std::string state;     // "outbox", "recorded", "returned"
  uint64_t seq = 0;      // 0: none
  bool own = false;      // this device wrote it
  std::string bytes;
  std::string reason;  // of what was returned
};

// All lines of the book in a client's home, read past the client: SQL on the file. The test fails
// where the file is no sound database.
std::vector<BookLine> ReadBook(const std::string& home);
int64_t CountIn(const std::vector<BookLine>& book, const std::string& state);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_BOOK_H_
