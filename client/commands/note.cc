// rundlet note: what somebody saw, smelt or tasted, or a plain note on anything.
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr v1::Aspect kAspects[] = {v1::ASPECT_CLARITY, v1::ASPECT_TASTE,  v1::ASPECT_FIZZ,
                                   v1::ASPECT_SMELL,   v1::ASPECT_COLOUR, v1::ASPECT_SEDIMENT};

// note C1 "smells of pear" --clarity hazy
class Note : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto vessel = planner.Named(v1::Thing::kVessel, subject_);
    const auto thing = vessel.ok() ? vessel : planner.Anything(subject_);
    if (!thing.ok()) return thing.status();
    v1::Observation observation;
    observation.set_subject_id(thing->ToBytes());
    for (size_t i = 0; i < std::size(kAspects); ++i) {
      if (impressions_[i].empty()) continue;
      v1::Impression& impression = *observation.add_impressions();
      impression.set_aspect(kAspects[i]);
      impression.set_text(impressions_[i]);
    }
    if (text_.empty() && observation.impressions().empty() && options().note.empty()) {
      return Usage(absl::StrCat("what is to be noted? As in: rundlet note ", subject_,
                                " \"smells of pear\""));
    }
    if (!text_.empty() && !options().note.empty()) {
      return Usage("the note stands behind the thing or behind --note, not at both places");
    }
    v1::Entry& entry = change.Add();
    entry.mutable_observation()->Swap(&observation);
    entry.set_note(text_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", subject_, "a vessel, a lot, a packet ... anything with a name")
        ->type_name("THING")
        ->required();
    app.add_option("text", text_, "the note");
    for (size_t i = 0; i < std::size(kAspects); ++i) {
      app.add_option(absl::StrCat("--", AspectWord(kAspects[i])), impressions_[i],
                     "what it is like");
    }
  }

 private:
  std::string subject_, text_;
  std::string impressions_[std::size(kAspects)];
};

}  // namespace

std::unique_ptr<Command> MakeNote() { return std::make_unique<Note>(); }

}  // namespace rundlet::client
