// Goal: the page shows the lot's story and its proofs, holds the dossier, needs nothing from
// elsewhere, and nothing that somebody wrote can become markup in it.
// Method: hostile names in every place that takes a text; tags of the page are counted.
#include "core/dossier/page.h"

#include <gmock/gmock.h>

#include <set>

#include "core/dossier/html.h"
#include "core/dossier/testing.h"

namespace rundlet::dossier {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

constexpr char kHostile[] =
    "</td></pre></title><script>alert('x')</script><img src=\"http://127.0.0.1/\" onerror=x>&amp;"
    "\xe2\x80\xae\x1b[2J";

// The names of all elements, and what stands in their tags.
std::set<std::string> TagsOf(const std::string& page) {
  std::set<std::string> tags;
  for (size_t at = page.find('<'); at != std::string::npos; at = page.find('<', at + 1))
    tags.insert(page.substr(at, page.find('>', at) - at + 1));
  return tags;
}

TEST(DossierPageTest, TextsAreNeverMarkup) {
  EXPECT_EQ(EscapeHtml("a < b & \"c\" 'd'"), "a &lt; b &amp; &quot;c&quot; &#39;d&#39;");
  EXPECT_EQ(EscapeHtml("\x1b[2J \xe2\x80\xae"), "?[2J ?");
  EXPECT_EQ(EscapeHtml("Müller-Thurgau"), "Müller-Thurgau");
}

TEST(DossierPageTest, HostileNamesAddNoTag) {
  SealedJournal journal;
  const auto page_of = [&](const std::string& word) {
    v1::Dossier dossier = journal.Make();
    dossier.set_title(word);
    dossier.set_cellar_name(word);
    auto verdict = Verify(Forged(dossier));
    EXPECT_TRUE(verdict.ok());
    for (Line& line : verdict->lines) line.author = line.says = line.note = line.standing = word;
    verdict->server_key = word;
    verdict->unproven = {word};
    verdict->problems = {word};
    const Story story{.about = {word},
                      .origins = {{word, word}},
                      .entries = {{word, word, word, word, word}},
                      .places = {{word, word}},
                      .shares = {{word, word, word, word}},
                      .findings = {word}};
    const auto page = MakePage(Forged(dossier), *verdict, story, {word}, 0);
    EXPECT_TRUE(page.ok()) << page.status();
    return page.value_or("");
  };
  const std::string hostile = page_of(kHostile);
  EXPECT_EQ(TagsOf(hostile), TagsOf(page_of("harmless")));
  EXPECT_THAT(hostile, Not(HasSubstr("<script")));
  EXPECT_THAT(hostile, HasSubstr("default-src 'none'"));
  const auto read = ReadDossier(hostile);
  ASSERT_TRUE(read.ok()) << read.status();
  EXPECT_EQ(read->title(), kHostile) << "in the data it stands as it was written";
}

TEST(DossierPageTest, TellsTheStoryAndWhatProvesIt) {
  SealedJournal journal;
  const v1::Dossier dossier = journal.Make();
  const auto verdict = Verify(dossier);
  ASSERT_TRUE(verdict.ok());
  const auto story = TellStory(journal.fold, journal.fold.interner().Find(testing::IdOf("White")),
                               testing::kDawnUs + testing::kDayUs, [&](const Uuid& id) {
                                 return ParseEntry(journal.bytes[journal.fold.sequence().Find(id)]);
                               });
  ASSERT_TRUE(story.ok()) << story.status();
  const auto page = MakePage(dossier, *verdict, *story, {"one that is not synced"}, 0);
  ASSERT_TRUE(page.ok()) << page.status();
  EXPECT_THAT(*page, HasSubstr("<h1>White</h1>"));
  EXPECT_THAT(*page, HasSubstr("<td>place 7, signed</td>"));
  EXPECT_THAT(*page, HasSubstr("bright &amp; &lt;b&gt;bold&lt;/b&gt;"));
  EXPECT_THAT(*page, HasSubstr("one that is not synced"));
  EXPECT_THAT(*page, HasSubstr(evidence::PrintKey(KeyOf('s').public_key())));
  EXPECT_THAT(*page, Not(HasSubstr("http://")));
  EXPECT_THAT(*page, Not(HasSubstr("https://")));
}

}  // namespace
}  // namespace rundlet::dossier
