// Goal: long work says how far it is to whoever watches; short work, and nobody, hear nothing.
// Method: a clock of our own, and the line that a terminal would show.
#include "client/cli/progress.h"

#include <gtest/gtest.h>

#include <sstream>

namespace rundlet::client {
namespace {

class ProgressTest : public ::testing::Test {
 protected:
  ProgressTest() {
    env_.clock = [this] { return now_; };
    env_.watched = &terminal_;
  }
  // What the terminal shows of the line at last: each carriage return begins it anew.
  std::string Line() const {
    std::string line;
    size_t at = 0;
    for (const char c : terminal_.str()) {
      if (c == '\r') {
        at = 0;
        continue;
      }
      if (at == line.size()) line += ' ';
      line[at++] = c;
    }
    return line.substr(0, line.find_last_not_of(' ') + 1);
  }

  absl::Time now_ = absl::FromUnixSeconds(1'000'000);
  Environment env_;
  std::ostringstream terminal_;
};

TEST_F(ProgressTest, SaysTheRateAndWhatIsLeft) {
  {
    Progress progress(env_, 10'000, "took", "entries");
    for (int i = 0; i < 4'000; ++i) {
      now_ += absl::Milliseconds(1);
      progress.Step();
    }
    EXPECT_TRUE(Line().starts_with("took 3")) << Line();
    EXPECT_TRUE(Line().ends_with(" of 10000 entries, 1000 a second, 6 s left")) << Line();
  }
  EXPECT_EQ(Line(), "") << "the line is gone at the end";
}

TEST_F(ProgressTest, WhatWasThereBeforeDoesNotCountForTheRate) {
  Progress progress(env_, 10'000, "received", "entries");
  progress.BeginAt(8'000);
  now_ += absl::Seconds(10);
  progress.At(9'000);
  EXPECT_EQ(Line(), "received 9000 of 10000 entries, 100 a second, 10 s left");
}

TEST_F(ProgressTest, ShortWorkIsNotSpokenOf) {
  Progress progress(env_, 1'000, "took", "entries");
  for (int i = 0; i < 999; ++i) {
    now_ += absl::Milliseconds(1);
    progress.Step();
  }
  EXPECT_EQ(terminal_.str(), "");
}

TEST_F(ProgressTest, NobodyWatchesAPipe) {
  env_.watched = nullptr;
  Progress progress(env_, 1'000, "took", "entries");
  now_ += absl::Seconds(100);
  progress.At(500);  // and nothing breaks
}

}  // namespace
}  // namespace rundlet::client
