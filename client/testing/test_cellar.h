#ifndef RUNDLET_CLIENT_TESTING_TEST_CELLAR_H_
#define RUNDLET_CLIENT_TESTING_TEST_CELLAR_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "client/base/environment.h"
#include "client/store/store.h"
#include "core/evidence/signing_key.h"

namespace rundlet::client {

// A directory of its own under the system's temporary one, removed with all in it at the end.
class TempDir {
 public:
  TempDir();
  ~TempDir();
  TempDir(const TempDir&) = delete;
  TempDir& operator=(const TempDir&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

// A device of the invented Thistledown Wine Circle that has joined without a server: a store of its
// own, a clock that stands where it is put, ids that count up. Commands run in this process.
class TestCellar {
 public:
  struct Result {
    int exit_code = 0;
    std::string out;
    std::string err;
  };

  // Different numbers make different devices (and members) of one cellar.
  explicit TestCellar(int device_number = 1);

  // Runs a command line, words split at spaces, 'single quotes' respected.
  Result Run(absl::string_view line);
  // The same, and the test fails where it does not end with 0.
  Result Do(absl::string_view line);

  // The clock: Monday, 2026-03-02 10:00 at +01:00 in the beginning.
  void SetClock(absl::string_view rfc3339);
  void Advance(absl::Duration by) { now_ += by; }
  absl::Time now() const { return now_; }

  StoreHome home() const { return StoreHome(dir_.path() + "/book"); }
  Environment& env() { return env_; }
  // Opens the store beside the commands.
  Store OpenStore();
  // The device gets a key and says it: its first entry, or another one. From the next sync on what
  // it hands in is signed.
  void Enrol();
  // The same with a new key, which takes the first one's place when the server has it.
  void ChangeKey();
  // Takes all entries of another device in, as a sync would.
  void Pull(TestCellar& other);

 private:
  void SayKey(const evidence::PublicKey& key);

  TempDir dir_;
  absl::Time now_;
  uint64_t random_ = 0;
  Environment env_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_TESTING_TEST_CELLAR_H_
