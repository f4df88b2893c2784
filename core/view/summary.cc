// What an entry says, in one sentence.
#include <utility>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/entry/entry.h"
#include "core/quantity/format.h"
#include "core/quantity/money.h"
#include "core/quantity/number.h"
#include "core/quantity/reading.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/record_sentence.h"
#include "core/view/wire_units.h"

namespace rundlet {
namespace {

class Sentence {
 public:
  explicit Sentence(const Fold& fold) : fold_(fold) {}

  std::string Name(const std::string& id) const {
    const auto uuid = Uuid::FromBytes(id);
    if (!uuid.ok()) return "?";
    const Handle handle = fold_.interner().Find(*uuid);
    return handle == kNoHandle ? absl::StrCat("unknown ", uuid->ToString())
                               : fold_.directory().NameOf(handle, fold_.sequence());
  }

  std::string Amount(const v1::Amount& amount) const {
    return FormatAmountOf(amount.dimension(), amount.base());
  }

  std::string Draws(const google::protobuf::RepeatedPtrField<v1::Draw>& draws) const {
    return absl::StrJoin(draws, " and ", [&](std::string* out, const v1::Draw& draw) {
      absl::StrAppend(out, draw.all() ? "all" : FormatVolume(draw.volume_ul()), " of ",
                      Name(draw.vessel_id()));
    });
  }

  std::string Fills(const google::protobuf::RepeatedPtrField<v1::Fill>& fills) const {
    return absl::StrJoin(fills, ", ", [&](std::string* out, const v1::Fill& fill) {
      absl::StrAppend(out, Name(fill.vessel_id()));
      // A sole vessel takes what was drawn.
      if (fills.size() > 1 || !fill.rest())
        absl::StrAppend(out, " (", fill.rest() ? "the rest" : FormatVolume(fill.volume_ul()), ")");
    });
  }

  std::string Outflows(const google::protobuf::RepeatedPtrField<v1::Outflow>& outflows) const {
    std::string text;
    for (const v1::Outflow& outflow : outflows) {
      absl::StrAppend(&text, ", ", outflow.rest() ? "the rest" : FormatVolume(outflow.volume_ul()),
                      " to ", AccountWord(outflow.account()));
    }
    return text;
  }

  std::string Additions(const google::protobuf::RepeatedPtrField<v1::AdditionLine>& lines) const {
    return absl::StrJoin(lines, ", ", [&](std::string* out, const v1::AdditionLine& line) {
      absl::StrAppend(
          out, Amount(line.amount()), " ",
          Name(line.what_case() == v1::AdditionLine::kMaterialLotId ? line.material_lot_id()
                                                                    : line.material_id()));
    });
  }

  std::string Transfer(absl::string_view verb, const v1::Transfer& transfer) const {
    std::string text = absl::StrCat(verb, " ", Draws(transfer.draws()), " into ",
                                    Fills(transfer.fills()), Outflows(transfer.outflows()));
    if (!transfer.lot_id().empty()) absl::StrAppend(&text, ", as lot ", Name(transfer.lot_id()));
    return text;
  }

  std::string Bottles(const v1::Bottles& bottles) const {
    return absl::StrCat(bottles.count(), " x ", FormatVolume(bottles.size_ul()), " of ",
                        Name(bottles.bottling_id()));
  }

  std::string Thing(absl::string_view verb, const v1::Thing& thing) const {
    const auto id = Uuid::FromBytes(thing.thing_id());
    const bool known = id.ok() && fold_.directory().Find(fold_.interner().Find(*id)) != nullptr;
    return absl::StrCat(verb, " ", KindWord(thing.kind_case()), " ",
                        known ? Name(thing.thing_id()) : NameOfThing(thing), Measured(thing));
  }

  // ", by weight" of a material where it is said.
  static absl::string_view Measured(const v1::Thing& thing) {
    switch (thing.material().dimension()) {
      case v1::DIMENSION_MASS:
        return ", by weight";
      case v1::DIMENSION_VOLUME:
        return ", by volume";
      case v1::DIMENSION_COUNT:
        return ", in pieces";
      default:
        return "";
    }
  }

  static std::string Settings(const v1::SettingsChanged& settings) {
    std::vector<std::string> said;
    if (settings.has_cellar_name()) said.push_back(absl::StrCat("name ", settings.cellar_name()));
    if (settings.has_tolerance_ppm()) {
      said.push_back(
          absl::StrCat("tolerance ", PrintRatio(settings.tolerance_ppm(), 10'000, 0, 4), " %"));
    }
    if (settings.has_tolerance_ul())
      said.push_back(absl::StrCat("tolerance ", FormatVolume(settings.tolerance_ul())));
    if (settings.has_jurisdictions()) {
      const auto& codes = settings.jurisdictions().codes();
      said.push_back(codes.empty() ? "no jurisdictions"
                                   : absl::StrCat("jurisdictions ", absl::StrJoin(codes, ", ")));
    }
    if (settings.has_currency()) said.push_back(absl::StrCat("currency ", settings.currency()));
    return absl::StrCat("changed the settings: ", absl::StrJoin(said, ", "));
  }

  static std::string Person(absl::string_view word, const std::string& person) {
    return person.empty() ? "" : absl::StrCat(" ", word, " ", person);
  }

  // ", for 12.50 EUR" where that was said.
  std::string Cost(int64_t cents) const {
    return cents == 0 ? ""
                      : absl::StrCat(", for ",
                                     FormatMoney(cents, fold_.directory().settings().currency()));
  }

  std::string Received(const v1::WineReceived& received) const {
    std::string text = absl::StrCat("received ", InflowWord(received.kind()));
    if (received.fruit_mass_ug() > 0)
      absl::StrAppend(&text, " (", FormatMass(received.fruit_mass_ug()), ")");
    absl::StrAppend(&text, " for lot ", Name(received.lot_id()), " into ", Fills(received.fills()));
    absl::StrAppend(&text, Person("from", received.supplier()));
    if (!received.supplier_lot().empty())
      absl::StrAppend(&text, ", their lot ", received.supplier_lot());
    absl::StrAppend(&text, Cost(received.cost_cents()));
    return text;
  }

  std::string Read(const v1::Reading& reading) const {
    const std::string values =
        absl::StrJoin(reading.measurements(), ", ", [](std::string* out, const v1::Measurement& m) {
          const std::string value = FormatReading(m.value_micro(), FromWire(m.unit()));
          const absl::string_view word = ReadingWord(m.kind());
          // "pH 3.40" says what it is by itself.
          absl::StrAppend(
              out, absl::StartsWith(value, absl::StrCat(word, " ")) ? "" : absl::StrCat(word, " "),
              value);
        });
    return absl::StrCat("read ", Name(reading.vessel_id()), ": ", values);
  }

  std::string Observed(const v1::Observation& observation) const {
    if (observation.impressions().empty())
      return absl::StrCat("noted of ", Name(observation.subject_id()));
    const std::string impressions = absl::StrJoin(
        observation.impressions(), ", ", [](std::string* out, const v1::Impression& impression) {
          absl::StrAppend(out, AspectWord(impression.aspect()), " ", impression.text());
        });
    return absl::StrCat("noted of ", Name(observation.subject_id()), ": ", impressions);
  }

  std::string Taken(const v1::BottlesTaken& taken) const {
    std::string text =
        absl::StrCat(taken.opened() ? "finished " : "took ", Bottles(taken.bottles()));
    if (!taken.opened()) absl::StrAppend(&text, " from ", Name(taken.from_bin_id()));
    absl::StrAppend(&text, ": ", AccountWord(taken.account()), Person("to", taken.person()));
    const std::string member = taken.member_id().empty() ? "" : Name(taken.member_id());
    if (!member.empty() && member != taken.person()) absl::StrAppend(&text, " of ", member);
    if (taken.left_ul() > 0) absl::StrAppend(&text, ", ", FormatVolume(taken.left_ul()), " left");
    if (!taken.occasion().empty()) absl::StrAppend(&text, " at ", taken.occasion());
    return text;
  }

  std::string Bottled(const v1::Bottled& bottled) const {
    const std::string groups =
        absl::StrJoin(bottled.groups(), ", ", [&](std::string* out, const v1::BottleGroup& g) {
          absl::StrAppend(out, g.count(), " x ", FormatVolume(g.size_ul()), " into ",
                          Name(g.bin_id()));
          if (g.set_aside())
            absl::StrAppend(out, " (set aside, ", FormatVolume(g.fill_ul()), " each)");
        });
    return absl::StrCat("bottled ", Draws(bottled.draws()), " as ", Name(bottled.bottling_id()),
                        ": ", groups, Outflows(bottled.outflows()));
  }

 private:
  const Fold& fold_;
};

std::string SummariseVoid(const Fold& fold, const v1::Void& body) {
  const auto id = Uuid::FromBytes(body.target_id());
  std::string text = absl::StrCat("voided ", id.ok() ? ShortId(*id) : "?");
  const RowId target = id.ok() ? fold.sequence().Find(*id) : kNone;
  if (target == kNone) absl::StrAppend(&text, ", which has not arrived yet");
  if (!body.reason().empty()) absl::StrAppend(&text, ": ", body.reason());
  return text;
}

std::string SummariseRest(const Fold& fold, const v1::Entry& entry) {
  const Sentence say(fold);
  switch (entry.body_case()) {
    case v1::Entry::kReading:
      return say.Read(entry.reading());
    case v1::Entry::kTreatment: {
      std::string text = absl::StrCat(TreatmentWord(entry.treatment().kind()), " ",
                                      say.Name(entry.treatment().vessel_id()));
      if (entry.treatment().duration_min() > 0) {
        absl::StrAppend(&text, " for ", entry.treatment().duration_min(), " min");
      }
      return text;
    }
    case v1::Entry::kObservation:
      return say.Observed(entry.observation());
    case v1::Entry::kBottled:
      return say.Bottled(entry.bottled());
    case v1::Entry::kBottlesMoved:
      return absl::StrCat("moved ", say.Bottles(entry.bottles_moved().bottles()), " from ",
                          say.Name(entry.bottles_moved().from_bin_id()), " to ",
                          say.Name(entry.bottles_moved().to_bin_id()));
    case v1::Entry::kBottlesTaken:
      return say.Taken(entry.bottles_taken());
    case v1::Entry::kBottlesEmptied: {
      const v1::BottlesEmptied& emptied = entry.bottles_emptied();
      return absl::StrCat("emptied ", say.Bottles(emptied.bottles()), " from ",
                          say.Name(emptied.from_bin_id()), " into ", say.Fills(emptied.fills()),
                          say.Outflows(emptied.outflows()));
    }
    case v1::Entry::kBottlesReturned:
      return absl::StrCat("put back ", say.Bottles(entry.bottles_returned().bottles()), " into ",
                          say.Name(entry.bottles_returned().to_bin_id()), ", from ",
                          AccountWord(entry.bottles_returned().account()));
    case v1::Entry::kBinCounted:
      return absl::StrCat("counted ", say.Name(entry.bin_counted().bin_id()), ": ",
                          absl::StrJoin(entry.bin_counted().bottles(), ", ",
                                        [&](std::string* out, const v1::Bottles& bottles) {
                                          absl::StrAppend(out, say.Bottles(bottles));
                                        }),
                          entry.bin_counted().adopted() ? "; the book follows" : "");
    case v1::Entry::kMaterialCounted:
      return absl::StrCat("counted ", say.Name(entry.material_counted().material_lot_id()), ": ",
                          say.Amount(entry.material_counted().amount()),
                          entry.material_counted().adopted() ? "; the book follows" : "");
    case v1::Entry::kVoid:
      return SummariseVoid(fold, entry.void_());
    default: {
      std::string record = RecordSentence(fold, entry);
      return record.empty() ? "something that this build does not know: upgrade Rundlet to read it"
                            : record;
    }
  }
}

}  // namespace

std::string ShortId(const Uuid& entry_id) { return entry_id.ToString().substr(28); }

std::string Summarise(const Fold& fold, const v1::Entry& entry) {
  const Sentence say(fold);
  switch (entry.body_case()) {
    case v1::Entry::kSettingsChanged:
      return Sentence::Settings(entry.settings_changed());
    case v1::Entry::kRegistered:
      return say.Thing("registered", entry.registered());
    case v1::Entry::kChanged:
      return say.Thing("changed", entry.changed());
    case v1::Entry::kRetired:
      return absl::StrCat("retired ", say.Name(entry.retired().thing_id()));
    case v1::Entry::kMaterialReceived:
      return absl::StrCat("received ", say.Amount(entry.material_received().amount()), " of ",
                          say.Name(entry.material_received().material_lot_id()),
                          say.Cost(entry.material_received().cost_cents()));
    case v1::Entry::kWineReceived:
      return say.Received(entry.wine_received());
    case v1::Entry::kAddition:
      return absl::StrCat("added ", say.Additions(entry.addition().lines()), " to ",
                          say.Name(entry.addition().vessel_id()));
    case v1::Entry::kRacking:
      return say.Transfer("racked", entry.racking());
    case v1::Entry::kBlend:
      return say.Transfer("blended", entry.blend());
    case v1::Entry::kTopping:
      return say.Transfer("topped with", entry.topping());
    case v1::Entry::kPressing:
      return say.Transfer("pressed", entry.pressing());
    case v1::Entry::kGauging:
      return absl::StrCat("gauged ", say.Name(entry.gauging().vessel_id()), " at ",
                          FormatVolume(entry.gauging().volume_ul()),
                          entry.gauging().noted() ? "; the book stays" : "");
    case v1::Entry::kWithdrawal: {
      const v1::Withdrawal& out = entry.withdrawal();
      return absl::StrCat("drew ", out.draw().all() ? "all" : FormatVolume(out.draw().volume_ul()),
                          " of ", say.Name(out.draw().vessel_id()), ": ",
                          AccountWord(out.account()), Sentence::Person("to", out.person()));
    }
    default:
      return SummariseRest(fold, entry);
  }
}

}  // namespace rundlet
