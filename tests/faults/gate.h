#ifndef RUNDLET_TESTS_FAULTS_GATE_H_
#define RUNDLET_TESTS_FAULTS_GATE_H_

#include <array>
#include <cstdint>
#include <list>
#include <string>
#include <thread>

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"

namespace rundlet::testing {

// A door between clients and a server: hands bytes on in both directions, until it is told to slam
// in the middle of them. It knows nothing of what the bytes mean. Thread-safe.
class Gate {
 public:
  enum Way { kToServer = 0, kToClient = 1 };

  // To HOST:PORT of this machine; itself on a free port of the loopback. Ends the test program
  // where it cannot listen.
  explicit Gate(const std::string& server);
  ~Gate();
  Gate(const Gate&) = delete;
  Gate& operator=(const Gate&) = delete;

  const std::string& address() const { return address_; }

  // Counts from nothing, and lets everybody through.
  void Open();
  // Counts from nothing; after so many bytes in one direction, over all connections, every
  // connection is broken off (RST) and nobody let in until Open. Of a piece that crosses the
  // border, what is before it is handed on.
  void CutAfter(Way way, int64_t bytes);
  // Now.
  void Shut();
  // Since the last Open or CutAfter.
  int64_t passed(Way way) const;

 private:
  struct Line {
    std::array<int, 2> ends = {-1, -1};  // of the client, of the server
    std::thread relay;
  };

  void Accept();
  void Relay(Line& line);
  // Hands a piece on; false where it crosses the border.
  bool HandOn(Way way, int to, const char* bytes, int64_t size);
  bool is_shut() const;
  void Break(Line& line);

  const std::string server_;
  std::string address_;
  int listener_ = -1;
  mutable absl::Mutex mutex_;
  bool ending_ ABSL_GUARDED_BY(mutex_) = false;
  bool shut_ ABSL_GUARDED_BY(mutex_) = false;
  std::array<int64_t, 2> passed_ ABSL_GUARDED_BY(mutex_) = {0, 0};
  std::array<int64_t, 2> cut_after_ ABSL_GUARDED_BY(mutex_) = {INT64_MAX, INT64_MAX};
  std::list<Line> lines_;  // of the accepting thread alone
  std::thread acceptor_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_GATE_H_
