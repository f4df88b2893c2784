#include "tests/faults/fleet.h"

#include <algorithm>
#include <filesystem>
#include <map>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "tests/faults/book.h"

namespace rundlet::testing {
namespace {

constexpr char kNeighbours[] = "Thistledown Neighbours";

std::string CellarOf(const ClientProcess& device) {
  return JsonValue(device.Do("status --json"), "cellar_id");
}

}  // namespace

bool EndedWell(const Finished& sync) { return sync.exit_code == 0 || sync.exit_code == 6; }

std::string JsonValue(const std::string& json, const std::string& name) {
  const std::string key = absl::StrCat("\"", name, "\":");
  size_t begin = json.find(key);
  if (begin == std::string::npos) return "";
  begin += key.size();
  if (json[begin] != '"') return json.substr(begin, json.find_first_of(",}", begin) - begin);
  ++begin;
  return json.substr(begin, json.find('"', begin) - begin);
}

std::vector<std::string> SavedIds(const std::string& json) {
  std::vector<std::string> ids;
  size_t at = json.find("\"entry_ids\":[");
  if (at == std::string::npos || JsonValue(json, "saved") != "true") return ids;
  const size_t end = json.find(']', at);
  at = json.find('[', at);
  while ((at = json.find('"', at + 1)) < end) {
    const size_t close = json.find('"', at + 1);
    ids.push_back(json.substr(at + 1, close - at - 1));
    at = close;
  }
  return ids;
}

Fleet::Fleet(ServerOptions options)
    : server_(folder_.path() + "/server", std::move(options)),
      neighbour_(folder_.path() + "/neighbour") {
  devices_.emplace_back(folder_.path() + "/maud");
}

void Fleet::Begin() {
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  maud().Do({"join", server_.NewCellar(kCircle, "Maud Ferrier"), "--device", "maud"});
  NoteRecorded(maud().home());
  MustSave(maud(), "vessel new T1 T2 --capacity 500L");
  MustSave(maud(), "receive juice 200L --into T1 --lot White");
  Sync(maud());
  circle_id_ = CellarOf(maud());
  neighbour_.Do({"join", server_.NewCellar(kNeighbours, "Agnes Holm"), "--device", "agnes"});
  neighbour_.Do("vessel new N1 --capacity 50L");
  neighbour_.Do("receive juice 20L --into N1 --lot Red");
  neighbour_.Do("sync");
  neighbours_id_ = CellarOf(neighbour_);
}

std::string Fleet::JoinHome(const std::string& member, const std::string& role) {
  const std::string home =
      absl::StrCat(folder(), "/device-", devices_.size() + other_homes_.size());
  ClientProcess device(home);
  const Finished joined =
      device.Try({"join", server_.Invite(kCircle, member, role), "--device", "device"});
  EXPECT_TRUE(EndedWell(joined)) << joined.out << joined.err;
  NoteRecorded(home);
  other_homes_.push_back(home);
  return home;
}

ClientProcess& Fleet::Join(const std::string& member, const std::string& role) {
  devices_.emplace_back(JoinHome(member, role));
  other_homes_.pop_back();
  return devices_.back();
}

std::vector<std::string> Fleet::homes() const {
  std::vector<std::string> homes;
  for (const ClientProcess& device : devices_) homes.push_back(device.home());
  homes.insert(homes.end(), other_homes_.begin(), other_homes_.end());
  homes.erase(std::remove_if(homes.begin(), homes.end(),
                             [&](const std::string& home) { return left_out_.count(home) > 0; }),
              homes.end());
  return homes;
}

Finished Fleet::Save(const ClientProcess& device, const std::string& line) {
  const Finished done = device.Try(line + " --json");
  // Whatever became of the program: what it said, it is held to.
  for (const std::string& id : SavedIds(done.out)) promises_.Saved(device.home(), id);
  return done;
}

void Fleet::MustSave(const ClientProcess& device, const std::string& line) {
  const Finished done = Save(device, line);
  EXPECT_EQ(done.exit_code, 0) << "rundlet " << line << "\n" << done.out << done.err;
  EXPECT_FALSE(SavedIds(done.out).empty()) << done.out;
}

Finished Fleet::Sync(const ClientProcess& device) {
  const Finished done = device.Try("sync");
  NoteRecorded(device.home());
  return done;
}

void Fleet::NoteRecorded(const std::string& home) {
  for (const BookLine& line : ReadBook(home)) {
    // Without a place it was lost by the server once; it is still promised.
    if (line.state == "recorded" && line.seq != 0) promises_.Acknowledged(line.entry_id, line.seq);
  }
}

void Fleet::ExpectSavedIn(const std::string& home) const {
  std::map<std::string, int> times;
  for (const BookLine& line : ReadBook(home)) ++times[line.entry_id];
  const auto saved = promises_.saved();
  const auto here = saved.find(home);
  if (here == saved.end()) return;
  for (const std::string& entry_id : here->second)
    EXPECT_EQ(times[entry_id], 1) << entry_id << " was said to be saved in " << home;
}

std::string Fleet::SeqOf(const std::string& entry_id) const {
  const Finished found =
      server_.Sql(absl::StrCat("select seq from rundlet.journal where cellar_id = '", circle_id_,
                               "' and entry_id = '", entry_id, "'"));
  EXPECT_EQ(found.exit_code, 0) << found.err;
  return std::string(absl::StripAsciiWhitespace(found.out));
}

absl::Duration Fleet::Settle(absl::Duration bound) {
  const absl::Time start = absl::Now();
  std::string last;
  const auto all_synced = [&] {
    bool all = true;
    for (const std::string& home : homes()) {
      const ClientProcess device(home);
      const Finished done = Sync(device);
      all = all && EndedWell(done) && CountIn(ReadBook(home), "outbox") == 0;
      if (!EndedWell(done)) last = done.out + done.err;
    }
    return all;
  };
  EXPECT_TRUE(Await(all_synced, bound)) << "not everything came to the server: " << last;
  const absl::Duration took = absl::Now() - start;
  EXPECT_TRUE(all_synced()) << last;
  for (const std::string& home : homes()) KeepCheckpoint(home);
  return took;
}

absl::Duration Fleet::Restart() {
  const absl::Time start = absl::Now();
  server_.Start();
  EXPECT_TRUE(Await([this] { return IsServing(); }, absl::Minutes(1)));
  return absl::Now() - start;
}

bool Fleet::IsServing() const {
  return server_.Admin({"health", "--listen", server_.address()}).exit_code == 0;
}

void Fleet::KeepCheckpoint(const std::string& home) {
  const std::string copy = absl::StrCat(folder(), "/checkpoint-", checkpoints_.size());
  std::error_code error;
  if (std::filesystem::copy_file(home + "/checkpoint", copy, error)) checkpoints_.insert(copy);
}

void Fleet::ForgetCheckpoints() {
  for (const std::string& copy : checkpoints_) std::filesystem::remove(copy);
  checkpoints_.clear();
}

}  // namespace rundlet::testing
