// Goal: one slip of the keyboard is understood, two are not. Method: each kind of slip once.
#include "client/cli/near.h"

#include <gtest/gtest.h>

namespace rundlet::client {
namespace {

TEST(NearTest, FindsWordsOneSlipAway) {
  const std::vector<std::string> words = {"rack", "receive", "read", "board"};
  EXPECT_EQ(NearWords(words, "rak"), "rack");
  EXPECT_EQ(NearWords(words, "racck"), "rack");
  EXPECT_EQ(NearWords(words, "rxck"), "rack");
  EXPECT_EQ(NearWords(words, "arck"), "rack");
  EXPECT_EQ(NearWords(words, "rec"), "receive");
  EXPECT_EQ(NearWords(words, "frobnicate"), "");
}

TEST(NearTest, Enumerates) {
  EXPECT_EQ(Enumerate({}), "");
  EXPECT_EQ(Enumerate({"a"}), "a");
  EXPECT_EQ(Enumerate({"a", "b", "c"}), "a, b or c");
}

TEST(NearTest, JoinsSentences) {
  EXPECT_EQ(Sentences("Did you mean 'C1'?", "Or not"), "Did you mean 'C1'? Or not");
  EXPECT_EQ(Sentences("there is none", "A new one"), "there is none. A new one");
}

}  // namespace
}  // namespace rundlet::client
