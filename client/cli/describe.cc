#include "client/cli/describe.h"

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/cli/embedded_text.h"
#include "client/cli/help.h"
#include "core/manual/from_app.h"

namespace rundlet::client {
namespace {

constexpr char kAbout[] = "the cellar book of a circle of wine makers";

std::string FirstWord(const std::string& name) { return name.substr(0, name.find(' ')); }

std::vector<manual::Section> CommonSections() {
  std::vector<manual::Section> sections;
  for (const char* topic : {"exit-codes", "environment"}) {
    for (const EmbeddedText& text : HelpTopics()) {
      if (text.name == topic)
        sections.push_back({std::string(topic == std::string("exit-codes") ? "exit status" : topic),
                            std::string(BodyOf(text))});
    }
  }
  return sections;
}

manual::Page MainPage(const std::vector<manual::Page>& others) {
  manual::Page page{.name = "rundlet", .section = 1, .about = kAbout};
  page.verbs.push_back({.command = "rundlet COMMAND ...", .about = "", .words = {}});
  page.verbs.push_back({.command = "rundlet help [COMMAND|TOPIC]", .about = "", .words = {}});
  page.sections.push_back({"commands", CommandList()});
  for (manual::Section& section : CommonSections()) page.sections.push_back(std::move(section));
  for (const manual::Page& other : others)
    page.see_also.push_back(absl::StrCat(other.name, "(", other.section, ")"));
  return page;
}

// One page for all commands that begin with the same word.
std::vector<manual::Page> CommandPages() {
  std::vector<manual::Page> pages;
  for (const CommandSpec& spec : AllCommands()) {
    if (*spec.group == '\0' && spec.name.find(' ') == std::string::npos) continue;
    const std::string name = absl::StrCat("rundlet-", FirstWord(spec.name));
    auto page = std::find_if(pages.begin(), pages.end(),
                             [&](const manual::Page& other) { return other.name == name; });
    if (page == pages.end()) {
      page = pages.insert(pages.end(), {.name = name, .section = 1, .about = spec.about});
      page->see_also = {"rundlet(1)"};
    }
    page->verbs.push_back(DescribeCommand(spec));
  }
  for (manual::Page& page : pages) {
    if (page.verbs.size() < 2) continue;
    std::vector<std::string> abouts;
    for (const manual::Verb& verb : page.verbs)
      abouts.push_back(verb.command.substr(verb.command.rfind(' ') + 1));
    if (abouts.size() > 8) abouts.resize(8);
    page.about = absl::StrCat(FirstWord(page.name.substr(8)), ": ", absl::StrJoin(abouts, ", "));
  }
  return pages;
}

}  // namespace

manual::Verb DescribeCommand(const CommandSpec& spec) {
  CLI::App app(spec.about, absl::StrCat("rundlet ", spec.name));
  const std::unique_ptr<Command> command = spec.make();
  command->Declare(app);
  return manual::DescribeApp(app, absl::StrCat("rundlet ", spec.name));
}

std::vector<manual::Page> ManualPages() {
  std::vector<manual::Page> pages = CommandPages();
  for (const EmbeddedText& topic : HelpTopics()) {
    pages.push_back({.name = absl::StrCat("rundlet-", topic.name),
                     .section = 7,
                     .about = std::string(TitleOf(topic)),
                     .sections = {{"description", std::string(BodyOf(topic))}},
                     .see_also = {"rundlet(1)"}});
  }
  pages.insert(pages.begin(), MainPage(pages));
  return pages;
}

}  // namespace rundlet::client
