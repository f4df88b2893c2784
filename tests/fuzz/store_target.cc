// The files of a device's book, as a failing disk or a stranger leaves them. Of the first byte:
//
//   'd'  the bytes are the SQLite file, whole
//   's'  the bytes are the snapshot beside a good book
//   'e'  changes of a good SQLite file: three bytes each, two for the place, one for the value
//
// Whatever it is, opening ends with a book or an error, and a book can be looked at.
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "client/cellar/cellar.h"
#include "client/store/store.h"
#include "client/store/store_home.h"
#include "core/entry/writer.h"
#include "core/fold/snapshot.h"
#include "tests/fuzz/target.h"

namespace rundlet::testing {
namespace {

using client::Device;
using client::Store;
using client::StoreHome;

Uuid Id(uint8_t n) {
  std::array<uint8_t, 10> random = {};
  random.back() = n;
  return Uuid::Version7(1'772'443'200'000, random);
}

// A folder of this process in memory where there is such a place, removed at the end.
class Workplace {
 public:
  Workplace() {
    std::string pattern = std::filesystem::is_directory("/dev/shm") ? "/dev/shm" : "/tmp";
    pattern += "/rundlet-fuzz-XXXXXX";
    if (mkdtemp(pattern.data()) == nullptr) std::abort();
    dir_ = pattern;
    MakeGoodBook();
  }
  ~Workplace() { std::filesystem::remove_all(dir_); }
  StoreHome home() const { return StoreHome(dir_ + "/book"); }
  const std::string& good() const { return good_; }

  void Put(const std::string& path, absl::string_view bytes) const {
    std::ofstream file(path, std::ios::binary | std::ios::trunc);
    file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  }
  void Clear() const {
    for (const auto& file : std::filesystem::directory_iterator(home().dir()))
      std::filesystem::remove_all(file.path());
  }

 private:
  void MakeGoodBook() {
    Device device{.cellar_id = Id(1),
                  .member_id = Id(2),
                  .device_id = Id(3),
                  .cellar_name = "Thistledown Wine Circle",
                  .member_name = "Maud Ferrier",
                  .device_name = "fuzz",
                  .role = "master",
                  .server = ""};
    auto store = Store::Create(home(), device, 0);
    if (!store.ok()) std::abort();
    std::vector<WrittenEntry> written;
    ChainHead before = *store->Head(), head = before;
    for (uint8_t i = 0; i < 4; ++i) {
      v1::Entry entry;
      entry.set_effective_at_us(1'772'443'200'000'000 + i);
      entry.set_written_at_us(1'772'443'200'000'000 + i);
      v1::Thing& thing = *entry.mutable_registered();
      thing.set_thing_id(Id(static_cast<uint8_t>(20 + i)).ToBytes());
      thing.mutable_vessel()->set_name(std::string("C") + static_cast<char>('1' + i));
      written.push_back(
          *WriteEntry(device.writer(), Id(static_cast<uint8_t>(40 + i)), entry, head));
    }
    if (!store->Append(written, before).ok()) std::abort();
    store->db().Exec("PRAGMA wal_checkpoint(TRUNCATE)").IgnoreError();
    std::ifstream file(home().database(), std::ios::binary);
    good_.assign(std::istreambuf_iterator<char>(file), {});
  }

  std::string dir_, good_;
};

absl::Status Look(const Workplace& place) {
  auto cellar = client::OpenCellar(place.home(), Snapshot::Verify::kAll);
  if (!cellar.ok()) {
    return Promise(!cellar.status().message().empty(), "an error says what is wrong",
                   cellar.status().ToString());
  }
  cellar->fold->StateDigest();
  cellar->store.Count().IgnoreError();
  cellar->store.Returned().IgnoreError();
  cellar->store.Head().IgnoreError();
  for (RowId row = 0; row < cellar->fold->sequence().rows(); ++row)
    client::EntryOfRow(*cellar, row).IgnoreError();
  return absl::OkStatus();
}

std::string Changed(std::string bytes, absl::string_view changes) {
  for (size_t i = 0; i + 2 < changes.size(); i += 3) {
    const size_t at =
        (static_cast<uint8_t>(changes[i]) << 8 | static_cast<uint8_t>(changes[i + 1]));
    bytes[at % bytes.size()] = changes[i + 2];
  }
  return bytes;
}

}  // namespace

absl::Status TryInput(absl::string_view input) {
  static const Workplace place;  // the same for all inputs of a process; gone at its end
  if (input.empty()) return absl::OkStatus();
  const absl::string_view rest = input.substr(1);
  place.Clear();
  switch (input.front()) {
    case 'd':
      place.Put(place.home().database(), rest);
      return Look(place);
    case 'e':
      place.Put(place.home().database(), Changed(place.good(), rest));
      return Look(place);
    case 's':
      place.Put(place.home().database(), place.good());
      place.Put(place.home().snapshot(), rest);
      return Look(place);
    default:
      return absl::OkStatus();
  }
}

}  // namespace rundlet::testing
