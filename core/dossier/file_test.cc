// Goal: a dossier comes back from its file as it was, alone or in a page, and what is none is told
// so. Method: a sealed journal; files cut short, doubled and made up.
#include "core/dossier/file.h"

#include <gmock/gmock.h>

#include "absl/strings/str_cat.h"
#include "core/dossier/testing.h"

namespace rundlet::dossier {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(DossierFileTest, ComesBackAsItWas) {
  v1::Dossier dossier = SealedJournal().Make();
  dossier.set_title("</pre><script>alert(1)</script> & \"quotes\"");
  const auto json = ToJson(dossier);
  ASSERT_TRUE(json.ok()) << json.status();
  EXPECT_THAT(*json, Not(HasSubstr("<")));
  EXPECT_THAT(*json, Not(HasSubstr("&")));
  for (const std::string& file :
       {*json, absl::StrCat("<html>", kDataBegin, "\n", *json, kDataEnd, "</html>")}) {
    const auto read = ReadDossier(file);
    ASSERT_TRUE(read.ok()) << read.status();
    EXPECT_EQ(read->SerializeAsString(), dossier.SerializeAsString());
  }
}

TEST(DossierFileTest, WhatIsNoneIsToldSo) {
  const std::string json = *ToJson(SealedJournal().Make());
  for (const std::string& file :
       {std::string(), std::string("<html>"), std::string("{"), std::string("{\"entries\": 3}"),
        std::string("{\"what_is_this\": 3}"), json.substr(0, json.size() / 2),
        absl::StrCat(kDataBegin, json), absl::StrCat(kDataBegin, kDataEnd),
        absl::StrCat(kDataBegin, json, kDataEnd, kDataBegin, json, kDataEnd),
        json + std::string(kMaxFileBytes, ' ')}) {
    const auto read = ReadDossier(file);
    EXPECT_TRUE(absl::IsInvalidArgument(read.status())) << file.substr(0, 60);
    EXPECT_THAT(std::string(read.status().message()), HasSubstr("no dossier"));
  }
}

}  // namespace
}  // namespace rundlet::dossier
