#include "tests/faults/link.h"

#include <unistd.h>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "gtest/gtest.h"
#include "tests/integration/process.h"

namespace rundlet::testing {
namespace {

// `ip WORDS`; what it complained of, empty if it did not.
std::string Ip(const std::string& words) {
  std::vector<std::string> all = {"/usr/bin/env", "ip"};
  for (const absl::string_view word : absl::StrSplit(words, ' ')) all.emplace_back(word);
  const Finished done = RunProgram(all);
  return done.exit_code == 0 ? "" : absl::StrCat("ip ", words, ": ", done.err);
}

}  // namespace

std::unique_ptr<Link> Link::Make(std::string& why_not) {
  // An address that no other run at the same time has; 198.18.0.0/15 is for tests of networks (RFC
  // 2544).
  const auto number = static_cast<unsigned>(getpid()) % 16000;
  std::unique_ptr<Link> link(new Link());
  link->name_ = absl::StrCat("rdl", number);
  link->address_ = absl::StrCat("198.18.", number / 64, ".", number % 64 * 4 + 1);
  const std::string other = absl::StrCat("198.18.", number / 64, ".", number % 64 * 4 + 2);
  for (const std::string& step :
       {absl::StrCat("netns add ", link->name_),
        absl::StrCat("link add ", link->name_, "a type veth peer name ", link->name_, "b netns ",
                     link->name_),
        absl::StrCat("addr add ", link->address_, "/30 dev ", link->name_, "a"),
        absl::StrCat("link set ", link->name_, "a up"),
        absl::StrCat("-n ", link->name_, " addr add ", other, "/30 dev ", link->name_, "b"),
        absl::StrCat("-n ", link->name_, " link set ", link->name_, "b up")}) {
    why_not = Ip(step);
    if (!why_not.empty()) return nullptr;  // the destructor takes away what there is
  }
  return link;
}

Link::~Link() {
  Ip(absl::StrCat("link del ", name_, "a"));
  Ip(absl::StrCat("netns del ", name_));
}

std::vector<std::string> Link::AtTheOtherEnd() const {
  return {"/usr/bin/env", "ip", "netns", "exec", name_};
}

void Link::Down() { EXPECT_EQ(Ip(absl::StrCat("link set ", name_, "a down")), ""); }
void Link::Up() { EXPECT_EQ(Ip(absl::StrCat("link set ", name_, "a up")), ""); }

}  // namespace rundlet::testing
