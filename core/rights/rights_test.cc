// Goal: the table of rights has a line for every kind of entry and every call, so that a new one
// cannot be forgotten, and docs/security.md prints that table and no other.
// Method: the descriptors of Entry and CellarService against the table; the page against a table
// made of it (RUNDLET_WRITE_DOCS=1 writes it).
#include "core/rights/rights.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <set>
#include <sstream>

#include "absl/strings/str_cat.h"
#include "rundlet/v1/cellar_service.pb.h"

namespace rundlet {
namespace {

std::multiset<std::string> NamesOf(Right::Of of) {
  std::multiset<std::string> names;
  for (const Right& right : Rights()) {
    if (right.of == of) names.insert(std::string(right.name));
  }
  return names;
}

TEST(RightsTest, EveryKindOfEntryHasItsLine) {
  std::multiset<std::string> kinds;
  const auto* body = v1::Entry::descriptor()->FindOneofByName("body");
  for (int i = 0; i < body->field_count(); ++i) kinds.insert(body->field(i)->name());
  EXPECT_EQ(NamesOf(Right::Of::kEntry), kinds);
}

TEST(RightsTest, EveryCallHasItsLine) {
  std::multiset<std::string> calls;
  const auto* service =
      v1::GetBoardRequest::descriptor()->file()->FindServiceByName("CellarService");
  for (int i = 0; i < service->method_count(); ++i) calls.insert(service->method(i)->name());
  EXPECT_EQ(NamesOf(Right::Of::kCall), calls);
}

TEST(RightsTest, AVoidNeedsWhatItsTargetNeeded) {
  v1::Entry voided, setting, racking;
  voided.mutable_void_()->set_target_id("x");
  setting.mutable_settings_changed();
  racking.mutable_racking();
  EXPECT_EQ(RoleForEntry(racking, nullptr), MemberRole::kHand);
  EXPECT_EQ(RoleForEntry(voided, nullptr), MemberRole::kHand);
  EXPECT_EQ(RoleForEntry(voided, &racking), MemberRole::kHand);
  EXPECT_EQ(RoleForEntry(voided, &setting), MemberRole::kMaster);
  EXPECT_EQ(RoleForBody(v1::Entry::kHouseRuleSetFieldNumber), MemberRole::kMaster);
  EXPECT_EQ(RoleForBody(99'999), MemberRole::kMaster) << "what is not known is a master's";
  EXPECT_EQ(RoleForCall("NoSuchCall"), MemberRole::kMaster);
}

TEST(RightsTest, EachRoleMayDoWhatTheNextMay) {
  EXPECT_TRUE(MayDo(MemberRole::kMaster, MemberRole::kHand));
  EXPECT_TRUE(MayDo(MemberRole::kHand, MemberRole::kHand));
  EXPECT_FALSE(MayDo(MemberRole::kGuest, MemberRole::kHand));
  EXPECT_FALSE(MayDo(MemberRole::kHand, MemberRole::kMaster));
}

std::string TableForPeople() {
  const auto mark = [](const Right& right, MemberRole role) {
    return MayDo(role, right.needed) ? "yes" : "";
  };
  std::string table =
      "| what | master | hand | guest | entry or call |\n| --- | --- | --- | --- | --- |\n";
  for (const Right& right : Rights()) {
    absl::StrAppend(&table, "| ", right.what, " | ", mark(right, MemberRole::kMaster), " | ",
                    mark(right, MemberRole::kHand), " | ", mark(right, MemberRole::kGuest), " | `",
                    right.name, "` |\n");
  }
  return table;
}

TEST(RightsTest, ThePageHasThisTable) {
  constexpr absl::string_view kBegin = "<!-- rights: made from core/rights/rights.cc -->\n";
  constexpr absl::string_view kEnd = "<!-- end of rights -->";
  std::ifstream in(RUNDLET_SECURITY_PAGE);
  std::stringstream content;
  content << in.rdbuf();
  std::string page = content.str();
  const size_t begin = page.find(std::string(kBegin));
  const size_t end = page.find(std::string(kEnd));
  ASSERT_NE(begin, std::string::npos);
  ASSERT_NE(end, std::string::npos);
  const size_t from = begin + kBegin.size();
  if (std::getenv("RUNDLET_WRITE_DOCS") != nullptr) {
    page.replace(from, end - from, TableForPeople());
    std::ofstream(RUNDLET_SECURITY_PAGE) << page;
    return;
  }
  EXPECT_EQ(page.substr(from, end - from), TableForPeople());
}

}  // namespace
}  // namespace rundlet
