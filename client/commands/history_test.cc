// Goal: the history of a thing tells each entry about it, what it changed, and what corrected it.
// Method: command lines in this process; the history is read as text and as JSON.
#include "core/view/history.h"

#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <vector>

#include "client/cellar/cellar.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class HistoryTest : public ::testing::Test {
 protected:
  HistoryTest() {
    cellar_.Do("vessel new C1 --capacity 20L --kind carboy");
    cellar_.Do("vessel new C2 --capacity 25L");
    cellar_.Do("member new 'Colm Adeyemi'");
    cellar_.Advance(absl::Minutes(10));
    cellar_.Do("vessel change C1 --capacity 23L");
    cellar_.Do("packet new sulfite --name KMS-1 --amount 100g");
    cellar_.Do("receive juice 20L --into C1 --lot Harrow --at '2026-03-01 09:00'");
    cellar_.Do("add C1 sulfite 2g --at '2026-03-01 10:00'");
    cellar_.Do("rack C1 C2 --lees 1L --at '2026-03-01 12:00' --note 'clear above the lees'");
  }

  std::string Do(const std::string& line) { return cellar_.Do(line).out; }
  std::vector<google::protobuf::Value> Entries(const std::string& thing) {
    google::protobuf::Struct json;
    const std::string out = Do("history " + thing + " --json");
    EXPECT_TRUE(google::protobuf::util::JsonStringToMessage(out, &json).ok()) << out;
    const auto& values = json.fields().at("entries").list_value().values();
    return {values.begin(), values.end()};
  }
  static std::string Text(const google::protobuf::Value& entry, const char* field) {
    return entry.struct_value().fields().at(field).string_value();
  }
  // The id of the only entry of a kind about a thing.
  std::string IdOf(const std::string& kind, const std::string& thing) {
    for (const auto& entry : Entries(thing)) {
      if (Text(entry, "kind") == kind) return Text(entry, "entry_id");
    }
    ADD_FAILURE() << "no " << kind << " of " << thing;
    return "";
  }

  TestCellar cellar_;
};

TEST_F(HistoryTest, TellsWhatChangedAndWhatMoved) {
  const std::string history = Do("history C1");
  EXPECT_THAT(
      history,
      AllOf(HasSubstr("    capacity: 20 L\n"), HasSubstr("    kind: carboy\n"),
            HasSubstr("    capacity: 20 L -> 23 L\n"), HasSubstr("    wine 20 L: source -> C1\n"),
            HasSubstr("    KMS-1 2 g: store -> C1\n"), HasSubstr("    wine 19 L: C1 -> C2\n"),
            HasSubstr("    wine 1 L: C1 -> lees\n"), HasSubstr("    note: clear above the lees\n"),
            HasSubstr("written 2026-03-02 10:10, not synced")));
  EXPECT_THAT(history, Not(HasSubstr("Colm"))) << "that concerns somebody else";
  EXPECT_THAT(Do("history KMS-1"), AllOf(HasSubstr("KMS-1 2 g: store -> C1"),
                                         HasSubstr("KMS-1 100 g: source -> store")));
  EXPECT_THAT(Do("history Harrow"), HasSubstr("wine 19 L: C1 -> C2"));
  EXPECT_THAT(Do("history 'Colm Adeyemi'"), HasSubstr("name: Colm Adeyemi"));
}

TEST_F(HistoryTest, ShowsWhatWasCorrectedAndByWhat) {
  cellar_.Advance(absl::Hours(1));
  cellar_.Do("amend " + IdOf("racking", "C2") + " --reason misread -- rack C1 C2 --lees 2L");
  cellar_.Do("void " + IdOf("addition", "C1") + " --reason 'another vessel'");
  const std::string history = Do("history C1");
  EXPECT_THAT(history,
              AllOf(HasSubstr("[amended] racked"), HasSubstr("[void] "),
                    HasSubstr("which stands in its place: misread"), HasSubstr("made void by "),
                    HasSubstr(": another vessel"), HasSubstr("wine 18 L: C1 -> C2")));
  EXPECT_THAT(history, Not(HasSubstr("wine 19 L: C1 -> C2"))) << "it counts no longer";
  bool found = false;
  for (const auto& entry : Entries("C1")) {
    if (Text(entry, "state") != "void") continue;
    found = true;
    const auto& by = entry.struct_value().fields().at("corrections").list_value().values(0);
    EXPECT_EQ(Text(by, "how"), "void");
    EXPECT_EQ(Text(by, "reason"), "another vessel");
    EXPECT_EQ(entry.struct_value().fields().at("movements").list_value().values_size(), 0);
  }
  EXPECT_TRUE(found);
}

TEST_F(HistoryTest, AMembersHistoryMayHaveAllThatTheyWrote) {
  auto cellar = OpenCellar(cellar_.home());
  ASSERT_TRUE(cellar.ok()) << cellar.status();
  const Handle writer = cellar->fold->interner().Find(cellar->store.device().member_id);
  const auto entry_of = [&](RowId row) { return EntryOfRow(*cellar, row); };
  const auto named = HistoryOf(*cellar->fold, writer, false, entry_of);
  const auto written = HistoryOf(*cellar->fold, writer, true, entry_of);
  ASSERT_TRUE(named.ok() && written.ok());
  EXPECT_EQ(named->size(), 0u) << "no entry is about them";
  EXPECT_EQ(written->size(), cellar->fold->sequence().size()) << "all entries are theirs";
}

TEST_F(HistoryTest, TellsWhatWasKnownThen) {
  EXPECT_THAT(Do("history C1"), HasSubstr("23 L"));
  EXPECT_THAT(Do("history C1 --known-at '2026-03-02 10:05'"), Not(HasSubstr("23 L")));
}

}  // namespace
}  // namespace rundlet::client
