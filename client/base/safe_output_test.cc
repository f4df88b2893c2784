// Goal: nothing that anybody wrote can steer the terminal of who reads it. Method: control
// characters of all kinds, whole and cut.
#include "client/base/safe_output.h"

#include <sstream>

#include "gtest/gtest.h"

namespace rundlet::client {
namespace {

TEST(SafeOutputTest, ControlCharactersAreShownAsQuestionMarks) {
  EXPECT_EQ(Harmless("a\x1b[31mb\x07\x7f", false), "a?[31mb??");
  EXPECT_EQ(Harmless("csi \xc2\x9b"
                     "1m",
                     false),
            "csi ?1m");
  EXPECT_EQ(Harmless("back\rover it", false), "back?over it");
  EXPECT_EQ(Harmless("line\r\nnext\r", false), "line\r\nnext?");
  EXPECT_EQ(Harmless("turned \xe2\x80\xae round", false), "turned ? round");
  EXPECT_EQ(Harmless("\xe2\x81\xa6isolated\xe2\x81\xa9", false), "?isolated?");
}

TEST(SafeOutputTest, OrdinaryTextPasses) {
  const std::string text =
      "Ros\xc3\xa9, 20 \xc2\xb0"
      "C, \xe2\x82\xac 5, \xf0\x9f\x8d\x87\n\tnext";
  EXPECT_EQ(Harmless(text, false), text);
  EXPECT_EQ(Harmless("two\nlines", true), "two lines");
  EXPECT_EQ(Harmless("cut \xe2\x80", false), "cut \xe2\x80")
      << "what is no character is left to the terminal";
}

TEST(SafeOutputTest, AStreamFiltersAcrossItsWrites) {
  std::ostringstream target;
  SafeBuffer buffer(target);
  std::ostream out(&buffer);
  out << "a\x1b"
      << "[0m \xe2"
      << "\x80"
      << "\xae"
      << "z"
      << "\xc3";
  out.put('\xa9');
  out << "\r"
      << "\n\r"
      << "x\r";
  out.flush();
  EXPECT_EQ(target.str(), "a?[0m ?z\xc3\xa9\r\n?x?");
}

}  // namespace
}  // namespace rundlet::client
