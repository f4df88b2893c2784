// rundlet dose: how much to add to the wine in a vessel, reckoned from its own readings; with
// --record the addition is saved.
#include <optional>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/commands/addition_words.h"
#include "client/commands/commands.h"
#include "client/commands/known_materials.h"
#include "client/commands/subject_list.h"
#include "client/dose/dose_subject.h"
#include "client/numbers/print_answer.h"
#include "core/quantity/amount.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// The inputs of a subject, with an option for each reading that it needs.
std::vector<Input> InputsOf(const DoseSubject& subject, std::vector<std::string>& names) {
  std::vector<Input> inputs = subject.inputs;
  names.reserve(subject.needs.size());
  for (const Need& need : subject.needs) {
    names.push_back(absl::StrCat("--", need.key));
    inputs.push_back({names.back().c_str(), need.kind, need.about});
  }
  return inputs;
}

// What was shown first; but of a solution or of tablets made of a material that is kept by weight,
// the weight that is in them: "salt in it".
std::string AmountToRecord(const oenology::Answer& answer, const v1::Material& material) {
  for (const oenology::Figure& figure : answer.figures) {
    if (&figure != &answer.figures[0] && !absl::EndsWith(figure.label, " in it")) continue;
    const std::string text = oenology::PrintFigure(figure);
    const auto amount = ParseAmount(text);
    if (amount.ok() && CheckMeasure(material, text, *amount).ok()) return text;
  }
  return oenology::PrintFigure(answer.figures[0]);
}

// dose sulfite C2 --to-molecular 0.6 --explain
class Dose : public Command {
 public:
  explicit Dose(const DoseSubject& subject)
      : subject_(subject), inputs_(InputsOf(subject, names_)), words_(inputs_) {}

  void Declare(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    words_.Declare(app);
    app.add_option("--with", with_, "the material at hand, as registered")->type_name("MATERIAL");
    app.add_flag("--explain", explain_, "how the number comes about, and its sources");
    if (*subject_.usual_name != '\0') {
      app.add_flag("--record", record_, "save the addition, as it is shown");
      app.add_option("--packet", packet_, "with --record: the packet that it is taken from")
          ->type_name("PACKET");
    }
    DeclareChangeOptions(app, options_);
  }

  absl::Status Run(Session& session) override {
    if (absl::Status status = words_.Read(values_); !status.ok()) return status;
    if (record_) {
      return RunChange(session, options_, nullptr, [&](Planner& planner, Change& change) {
        return Record(planner, change, session);
      });
    }
    if (!options_.at.empty() || !options_.note.empty() || !packet_.empty() || options_.dry_run)
      return Usage("--at, --note, --packet and --dry-run go with --record");
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    Planner planner(*cellar, Moment::Latest(*cellar), session.env.Now(), session.env);
    const auto answer = Work(planner);
    if (!answer.ok()) return answer.status();
    PrintAnswer(*answer, {.json = options_.json, .explain = explain_, .amount_first = true},
                session);
    return absl::OkStatus();
  }

 private:
  absl::StatusOr<oenology::Answer> Work(const Planner& planner);
  absl::Status Record(Planner& planner, Change& change, Session& session);
  // The material at hand: the one named, else the one with the usual name, else the only one that
  // would do; empty if none is registered.
  absl::StatusOr<std::string> MaterialAtHand(const Fold& fold) const;
  // Whether the subject can be dosed with it.
  bool WouldDo(const v1::Material& material) const;
  // The usual name of what is dosed; of sulfite by the salt that was asked for.
  std::string UsualName() const;

  const DoseSubject& subject_;
  std::vector<std::string> names_;
  std::vector<Input> inputs_;
  InputWords words_;
  Values values_;
  ChangeOptions options_;
  std::string vessel_, with_, packet_;
  bool explain_ = false;
  bool record_ = false;
};

std::string Dose::UsualName() const {
  const std::string salt = values_.Word("salt");
  return salt.empty() ? subject_.usual_name : absl::StrCat(salt, " metabisulfite");
}

bool Dose::WouldDo(const v1::Material& material) const {
  const std::string name = absl::AsciiStrToLower(material.name());
  if (absl::string_view(subject_.material_kind) == "sulfite") {
    const bool sodium = absl::StrContains(name, "sodium");
    const std::string salt = values_.Word("salt");
    return IsSulfite(material) && (salt.empty() || sodium == (salt == "sodium"));
  }
  const std::string kind = absl::AsciiStrToLower(material.kind());
  // Food for yeast is called after it.
  if (absl::string_view(subject_.word) == "yeast" &&
      (absl::StrContains(kind, "nutrient") || absl::StrContains(name, "nutrient") ||
       absl::StrContains(name, "hull")))
    return false;
  return absl::EqualsIgnoreCase(name, subject_.usual_name) ||
         absl::StrContains(name, subject_.material_kind) ||
         absl::StrContains(name, subject_.word) || absl::StrContains(kind, subject_.material_kind);
}

absl::StatusOr<std::string> Dose::MaterialAtHand(const Fold& fold) const {
  if (!with_.empty()) {
    const auto found = FindByName(fold, v1::Thing::kMaterial, with_);
    if (!found.ok()) return found.status();
    const v1::Material& material = *FindMaterial(fold, *found);
    if (WouldDo(material)) return material.name();
    return absl::FailedPreconditionError(
        absl::StrCat("by its name and kind ", material.name(), " is no ", UsualName(),
                     ". If it is one: rundlet material change '", material.name(), "' --kind ",
                     subject_.material_kind));
  }
  std::vector<std::string> fitting;
  for (const Handle handle : ThingsByName(fold, v1::Thing::kMaterial)) {
    const v1::Material& material = *FindMaterial(fold, handle);
    if (absl::EqualsIgnoreCase(material.name(), UsualName())) return material.name();
    if (WouldDo(material)) fitting.push_back(material.name());
  }
  if (fitting.size() > 1)
    return absl::FailedPreconditionError(absl::StrCat("several materials would do, ",
                                                      Enumerate(fitting, ", ", " and "),
                                                      ": say which with --with"));
  return fitting.empty() ? "" : fitting[0];
}

absl::StatusOr<oenology::Answer> Dose::Work(const Planner& planner) {
  const auto vessel = planner.Vessel(vessel_);
  if (!vessel.ok()) return vessel.status();
  const Fold& fold = planner.moment().fold();
  const auto wine = WineAtHand::Of(fold, fold.interner().Find(*vessel), planner.now());
  if (!wine.ok()) return wine.status();
  std::vector<std::string> origins, gaps;
  for (const Need& need : subject_.needs) {
    if (absl::Status status = wine->Fill(need, values_, origins, gaps); !status.ok()) return status;
  }
  const auto name = MaterialAtHand(fold);
  if (!name.ok()) return name.status();
  const v1::Material* material = nullptr;
  if (!name->empty()) material = FindMaterial(fold, *FindByName(fold, v1::Thing::kMaterial, *name));
  auto answer = subject_.work(DoseCase{
      .fold = fold, .wine = *wine, .values = values_, .material = material, .notes = &gaps});
  if (!answer.ok()) return answer;
  for (std::string& origin : origins) answer->Assume(std::move(origin));
  for (std::string& gap : gaps) answer->Warn(std::move(gap));
  return answer;
}

absl::Status Dose::Record(Planner& planner, Change& change, Session& session) {
  const auto answer = Work(planner);
  if (!answer.ok()) return answer.status();
  if (options_.json) {
    change.details.emplace_back("dose", JsonOfAnswer(*answer));
  } else {
    PrintAnswer(*answer, {.explain = explain_, .amount_first = true}, session);
  }
  if (answer->figures[0].value <= 0)
    return absl::FailedPreconditionError("there is nothing to add, so nothing was recorded");
  const auto at_hand = MaterialAtHand(planner.fold());
  if (!at_hand.ok()) return at_hand.status();
  if (at_hand->empty()) {
    return absl::NotFoundError(
        absl::StrCat("no material is registered for it: rundlet material new '", UsualName(),
                     "', or name one with --with. Nothing was recorded"));
  }
  const auto handle = FindByName(planner.fold(), v1::Thing::kMaterial, *at_hand);
  if (!handle.ok()) return handle.status();
  const std::string amount = AmountToRecord(*answer, *FindMaterial(planner.fold(), *handle));
  const auto vessel = planner.Vessel(vessel_);
  if (!vessel.ok()) return vessel.status();
  const std::vector<std::string> packets =
      packet_.empty() ? std::vector<std::string>{} : std::vector<std::string>{packet_};
  if (absl::Status status = CheckPackets(planner, {*at_hand}, packets); !status.ok()) return status;
  auto line = ReadAddition(planner, {.material = *at_hand, .amount = amount}, packets,
                           planner.moment().VolumeOf(*vessel), change);
  if (!line.ok()) return line.status();
  v1::Addition& addition = *change.Add().mutable_addition();
  addition.set_vessel_id(vessel->ToBytes());
  addition.add_lines()->Swap(&*line);
  return absl::OkStatus();
}

// What is not the dose of one material to one wine.
struct Other {
  const char* word;
  const char* about;
  std::unique_ptr<Command> (*make)();
};
constexpr Other kOthers[] = {
    {"blend", "a blend of several wines to targets, within bounds", MakeDoseBlend},
    {"top", "how much is missing to the brim, and which wines would serve", MakeDoseTop}};

}  // namespace

std::unique_ptr<Command> MakeDose() {
  SubjectList::Subjects subjects;
  for (const DoseSubject& subject : AllDoseSubjects())
    subjects.emplace_back(subject.word, subject.about);
  for (const Other& other : kOthers) subjects.emplace_back(other.word, other.about);
  return std::make_unique<SubjectList>(
      "dose", "nothing is dosed by the word",
      "rundlet dose SUBJECT VESSEL; most take --record. See: rundlet dose SUBJECT --help",
      std::move(subjects));
}

std::vector<CommandSpec> DoseCommands() {
  std::vector<CommandSpec> specs;
  for (const DoseSubject& subject : AllDoseSubjects()) {
    specs.push_back({.name = absl::StrCat("dose ", subject.word),
                     .about = subject.about,
                     .group = "",
                     .make = [&subject] { return std::make_unique<Dose>(subject); }});
  }
  for (const Other& other : kOthers)
    specs.push_back({absl::StrCat("dose ", other.word), other.about, "", other.make});
  return specs;
}

}  // namespace rundlet::client
