#include "client/commands/subject_list.h"

#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/cli/planner.h"
#include "client/cli/table.h"

namespace rundlet::client {

void SubjectList::Declare(CLI::App& app) {
  app.add_option("subject", subject_, absl::StrCat("which; rundlet ", name_, " alone lists them"))
      ->type_name("SUBJECT")
      ->expected(0, -1);
  // What belongs to a subject must not hide that the subject is unknown.
  app.allow_extras();
  app.callback([this, &app] { options_ = app.remaining(); });
}

absl::Status SubjectList::Run(Session& session) {
  if (!subject_.empty()) {
    std::vector<std::string> words;
    for (const auto& [word, about] : subjects_) words.push_back(word);
    const std::string near = NearWords(words, subject_[0]);
    return Usage(absl::StrCat(unknown_, " '", subject_[0],
                              near.empty() ? "'." : absl::StrCat("': did you mean ", near, "?"),
                              " All subjects: rundlet ", name_));
  }
  if (!options_.empty())
    return Usage(absl::StrCat(options_[0], " goes with a subject. All: rundlet ", name_));
  Table table({"Subject", "What it works out"});
  for (const auto& [word, about] : subjects_) table.Add({word, about});
  session.out() << table.Print(session.columns()) << "\n" << hint_ << "\n";
  return absl::OkStatus();
}

}  // namespace rundlet::client
