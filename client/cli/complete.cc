#include "client/cli/complete.h"

#include <CLI/App.hpp>
#include <algorithm>
#include <set>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/cli/command.h"
#include "client/cli/describe.h"
#include "client/cli/help.h"
#include "core/manual/page.h"

namespace rundlet::client {
namespace {

using manual::Verb;
using manual::Word;

// One completion on its way.
class Completer {
 public:
  Completer(absl::string_view begun, const NamesOfKind& names_of)
      : begun_(begun), names_of_(names_of) {}

  void Commands(const std::vector<std::string>& before);
  void Topics();
  void Words(const CommandSpec& spec, const std::vector<std::string>& before);
  Completion Take() { return std::move(completion_); }

 private:
  void Offer(Candidate candidate);
  void OfferOptions(const Verb& verb, const std::set<std::string>& said);
  void OfferKinds(absl::string_view takes, const std::vector<std::string>& by_place);
  void OfferKind(absl::string_view kind, const std::vector<std::string>& by_place);

  const std::string begun_;
  const NamesOfKind& names_of_;
  Completion completion_;
};

void Completer::Offer(Candidate candidate) {
  if (!absl::StartsWithIgnoreCase(candidate.value, begun_)) return;
  for (const Candidate& other : completion_.candidates) {
    if (other.value == candidate.value) return;
  }
  completion_.candidates.push_back(std::move(candidate));
}

// The first word of the commands, or the second where the first is there.
void Completer::Commands(const std::vector<std::string>& before) {
  if (before.empty()) Offer({"help", "what a command takes, or a topic"});
  for (const CommandSpec& spec : AllCommands()) {
    if (*spec.group == '\0' && before.empty()) continue;
    const std::vector<std::string> name = absl::StrSplit(spec.name, ' ');
    const bool has_second = name.size() == 2;
    if (before.empty()) {
      Offer({name[0], has_second ? "" : spec.about});
    } else if (has_second && name[0] == before[0]) {
      Offer({name[1], spec.about});
    }
  }
}

void Completer::Topics() {
  for (const EmbeddedText& topic : HelpTopics())
    Offer({std::string(topic.name), std::string(TitleOf(topic))});
}

// Whether `names` ("-h, --help") has the option.
bool Answers(const std::string& names, absl::string_view option) {
  for (const absl::string_view name : absl::StrSplit(names, ", ")) {
    if (name == option) return true;
  }
  return false;
}

const Word* FindOption(const Verb& verb, absl::string_view option) {
  for (const Word& word : verb.words) {
    if (word.option && Answers(word.names, option)) return &word;
  }
  return nullptr;
}

// The word that takes the n-th of those by their place; the last takes what is left if it repeats.
const Word* FindPlace(const Verb& verb, size_t n, size_t* nth_of_it) {
  size_t place = 0;
  for (const Word& word : verb.words) {
    if (word.option) continue;
    if (n == place || (n > place && word.repeats)) {
      *nth_of_it = n - place;
      return &word;
    }
    ++place;
  }
  return nullptr;
}

void Completer::OfferOptions(const Verb& verb, const std::set<std::string>& said) {
  for (const Word& word : verb.words) {
    if (!word.option || (!word.repeats && said.contains(word.names))) continue;
    const std::vector<std::string> names = absl::StrSplit(word.names, ", ");
    for (const std::string& name : names) {
      if (absl::StartsWith(name, "--")) Offer({name, word.about});
    }
  }
}

void Completer::OfferKind(absl::string_view kind, const std::vector<std::string>& by_place) {
  if (kind == "FILE" || kind == "DIRECTORY") {
    (kind == "FILE" ? completion_.files : completion_.directories) = true;
    return;
  }
  const size_t equals = kind.find('=');
  const bool needs_more = equals != absl::string_view::npos && kind[equals - 1] != '[';
  absl::string_view name = kind.substr(0, equals);
  if (absl::EndsWith(name, "[")) name.remove_suffix(1);
  std::vector<Candidate> found;
  if (name.empty()) return;
  if (absl::ascii_isupper(static_cast<unsigned char>(name.front()))) {
    found = names_of_(name, by_place);
  } else {
    found = {{std::string(name), ""}};
  }
  for (Candidate& candidate : found) {
    if (needs_more) candidate.value += '=';
    Offer(std::move(candidate));
  }
}

void Completer::OfferKinds(absl::string_view takes, const std::vector<std::string>& by_place) {
  for (const absl::string_view kind : absl::StrSplit(takes, '|')) OfferKind(kind, by_place);
}

void Completer::Words(const CommandSpec& spec, const std::vector<std::string>& before) {
  const Verb verb = DescribeCommand(spec);
  std::vector<std::string> by_place;
  std::set<std::string> said;
  const Word* waits = nullptr;  // an option for its value
  for (const std::string& written : before) {
    if (waits != nullptr) {
      waits = nullptr;
    } else if (absl::StartsWith(written, "-") && written.size() > 1) {
      const size_t equals = written.find('=');
      const Word* option = FindOption(verb, written.substr(0, equals));
      if (option == nullptr) continue;
      said.insert(option->names);
      if (!option->takes.empty() && equals == std::string::npos) waits = option;
    } else {
      by_place.push_back(written);
    }
  }
  if (waits != nullptr) return OfferKinds(waits->takes, by_place);
  if (absl::StartsWith(begun_, "-")) return OfferOptions(verb, said);
  size_t nth = 0;
  const Word* place = FindPlace(verb, by_place.size(), &nth);
  if (place == nullptr) return OfferOptions(verb, said);
  const std::vector<std::string> turns = absl::StrSplit(place->takes, ' ');
  OfferKinds(turns[nth % turns.size()], by_place);
}

}  // namespace

Completion Complete(const std::vector<std::string>& words, const NamesOfKind& names_of) {
  if (words.empty()) return {};
  std::vector<std::string> before(words.begin(), words.end() - 1);
  // What stands behind the dashes of an amendment is a command of its own.
  const auto dashes = std::find(before.begin(), before.end(), "--");
  if (!before.empty() && before[0] == "amend" && dashes != before.end())
    before.erase(before.begin(), dashes + 1);
  const bool asks_help = !before.empty() && before[0] == "help";
  if (asks_help) before.erase(before.begin());

  const size_t equals = words.back().find('=');
  const bool value_behind = absl::StartsWith(words.back(), "--") && equals != std::string::npos;
  std::string begun = words.back();
  std::string in_front;
  if (value_behind) {  // --lot=Harr
    in_front = begun.substr(0, equals + 1);
    before.push_back(begun.substr(0, equals));
    begun.erase(0, equals + 1);
  }
  Completer completer(begun, names_of);
  size_t used = 0;
  const CommandSpec* spec = FindCommand(before, &used);
  if (used < 2 && before.size() < 2) completer.Commands(before);
  if (asks_help && before.empty()) completer.Topics();
  if (spec != nullptr && !asks_help) {
    before.erase(before.begin(), before.begin() + static_cast<ptrdiff_t>(used));
    completer.Words(*spec, before);
  }
  Completion completion = completer.Take();
  for (Candidate& candidate : completion.candidates) candidate.value.insert(0, in_front);
  return completion;
}

}  // namespace rundlet::client
