#ifndef RUNDLET_TESTS_FAULTS_FLEET_H_
#define RUNDLET_TESTS_FAULTS_FLEET_H_

#include <deque>
#include <set>
#include <string>
#include <vector>

#include "absl/time/clock.h"
#include "absl/time/time.h"
#include "server/pg/testing/await.h"
#include "tests/faults/promises.h"
#include "tests/integration/world.h"

namespace rundlet::testing {

inline constexpr char kCircle[] = "Thistledown Wine Circle";  // invented, as everybody in it

// One real server with its private PostgreSQL, the circle's devices with the real client, and a
// neighbour on the same server whose cellar is none of their business. What the programs say of
// saved and recorded entries is kept in promises().
//
// One thread at a time, but for promises().
class Fleet {
 public:
  explicit Fleet(ServerOptions options = {});

  // Starts the server, makes both cellars; Maud Ferrier, the circle's master, has 200 L of wine in
  // T1, and an empty T2. Fails the test where it cannot; use it in ASSERT_NO_FATAL_FAILURE.
  void Begin();
  // One more device of the circle, of the member of this name, which has synced.
  ClientProcess& Join(const std::string& member, const std::string& role = "hand");
  // The same where nobody is to act by `rundlet` on it: what it gets done is not looked after here.
  std::string JoinHome(const std::string& member, const std::string& role = "hand");

  ServerProcess& server() { return server_; }
  ClientProcess& maud() { return devices_.front(); }
  std::deque<ClientProcess>& devices() { return devices_; }
  const ClientProcess& neighbour() const { return neighbour_; }
  Promises& promises() { return promises_; }
  const std::string& folder() const { return folder_.path(); }
  // A device that cannot come to rest, for a reason that its case has looked at: it is neither
  // settled nor audited.
  void LeaveOut(const std::string& home) { left_out_.insert(home); }
  // Homes of the circle, JoinHome's among them.
  std::vector<std::string> homes() const;
  // The circle's id, as text; the neighbour's.
  const std::string& circle_id() const { return circle_id_; }
  const std::string& neighbours_id() const { return neighbours_id_; }

  // Runs a command that writes entries, and keeps which it said it had saved.
  Finished Save(const ClientProcess& device, const std::string& line);
  // The same, and the test fails if it does not end well.
  void MustSave(const ClientProcess& device, const std::string& line);
  // Runs `rundlet sync`, and keeps what the device holds for recorded then.
  Finished Sync(const ClientProcess& device);
  // What was said to be saved on a device is in its book, each entry once.
  void ExpectSavedIn(const std::string& home) const;
  // An entry's number in the server's journal, as text; empty if it is not there.
  std::string SeqOf(const std::string& entry_id) const;
  // Reads from a device's book what it holds for recorded.
  void NoteRecorded(const std::string& home);

  // Syncs all devices, round after round, until each sync ended well and nothing waits anywhere;
  // then once more, so that everybody has everything. The test fails if that is not so within
  // `bound`. Returns how long it took until nothing waited.
  absl::Duration Settle(absl::Duration bound);

  // Starts the server again and waits until it says it is SERVING; how long that took.
  absl::Duration Restart();
  // Whether `rundletd health` says that it serves.
  bool IsServing() const;

  // Copies of the checkpoints that devices held at one time or another.
  const std::set<std::string>& checkpoints() const { return checkpoints_; }
  // The server was set back by us: from now on it is held to what it signs then.
  void ForgetCheckpoints();

 private:
  void KeepCheckpoint(const std::string& home);

  TempDir folder_;
  ServerProcess server_;
  std::deque<ClientProcess> devices_;
  std::vector<std::string> other_homes_;
  std::set<std::string> left_out_;
  ClientProcess neighbour_;
  Promises promises_;
  std::string circle_id_;
  std::string neighbours_id_;
  std::set<std::string> checkpoints_;
};

// Whether a sync did all that it could: 0, or 6 where something is held or was returned.
bool EndedWell(const Finished& sync);

// The ids in what a command printed with --json: its "entry_ids", if it says that it saved.
std::vector<std::string> SavedIds(const std::string& json);
// The number or text behind a name in JSON of one level, as written; "" if it is not there.
std::string JsonValue(const std::string& json, const std::string& name);

using server::Await;

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_FLEET_H_
