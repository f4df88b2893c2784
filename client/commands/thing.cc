#include "client/commands/thing.h"

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/show_parts.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// Whether commands can name the thing afterwards: they write C1=5L, C1=rest, 'vessel:C1',
// --options.
absl::Status CheckNameCanBeSaid(absl::string_view name) {
  if (name.empty()) return Usage("a name is missing");
  if (absl::StripAsciiWhitespace(name) != name)
    return Usage(absl::StrCat("'", name, "': a name neither begins nor ends with a space"));
  if (absl::StrContains(name, '=') || absl::StrContains(name, ':') ||
      absl::StrContains(name, '@') || name.front() == '-') {
    return Usage(absl::StrCat(
        "'", name, "': a name has no = : @, and does not begin with a dash: commands use them"));
  }
  for (const absl::string_view word : {"all", "rest", "empty"}) {
    if (absl::EqualsIgnoreCase(name, word))
      return Usage(absl::StrCat("'", name, "' means something in commands: choose another name"));
  }
  if (absl::ascii_isdigit(static_cast<unsigned char>(name.front())) && ParseVolume(name).ok()) {
    return Usage(absl::StrCat("'", name, "' would be read as a volume: choose another name"));
  }
  return absl::OkStatus();
}

// What a word that names such a thing takes: "VESSEL".
std::string TypeNameOf(v1::Thing::KindCase kind) { return absl::AsciiStrToUpper(KindWord(kind)); }

}  // namespace

absl::Status CheckNameIsFree(const Fold& fold, v1::Thing::KindCase kind, absl::string_view name) {
  if (absl::Status status = CheckNameCanBeSaid(name); !status.ok()) return status;
  for (const Handle thing : ThingsByName(fold, kind)) {
    const std::string taken = fold.directory().NameOf(thing, fold.sequence());
    if (!absl::EqualsIgnoreCase(taken, name)) continue;
    return absl::AlreadyExistsError(
        absl::StrCat("there is a ", KindWord(kind), " called '", taken,
                     "' already: choose another name, or see: rundlet show '", taken, "'"));
  }
  return absl::OkStatus();
}

// ---- new ----

void ThingNew::DeclareWords(CLI::App& app) {
  app.add_option("name", names_, "its name; several make several that are alike")
      ->type_name("NAME")
      ->required();
  fields_->Declare(app);
}

absl::Status ThingNew::Make(Planner& planner, Change& change) {
  for (size_t i = 0; i < names_.size(); ++i) {
    if (absl::Status status = CheckNameIsFree(planner.fold(), kind_.kind, names_[i]); !status.ok())
      return status;
    for (size_t j = 0; j < i; ++j) {
      if (absl::EqualsIgnoreCase(names_[i], names_[j]))
        return Usage(absl::StrCat("'", names_[i], "' is there twice"));
    }
    v1::Thing& thing = *change.Add().mutable_registered();
    thing.set_thing_id(planner.NewId().ToBytes());
    SetName(kind_.kind, names_[i], thing);
    if (absl::Status status = fields_->Fill(planner, thing); !status.ok()) return status;
  }
  return absl::OkStatus();
}

// ---- change ----

void ThingChange::DeclareWords(CLI::App& app) {
  app.add_option("name", name_, "which")->type_name(TypeNameOf(kind_.kind))->required();
  app.add_option("--name", new_name_, "its new name")->type_name("NAME");
  fields_->Declare(app);
}

absl::Status ThingChange::Make(Planner& planner, Change& change) {
  const auto thing_id = planner.Named(kind_.kind, name_);
  if (!thing_id.ok()) return thing_id.status();
  v1::Thing& thing = *change.Add().mutable_changed();
  if (absl::Status status = fields_->Fill(planner, thing); !status.ok()) return status;
  if (!new_name_.empty()) {
    const bool only_letters_differ = absl::EqualsIgnoreCase(new_name_, planner.NameOf(*thing_id));
    if (!only_letters_differ) {
      if (absl::Status status = CheckNameIsFree(planner.fold(), kind_.kind, new_name_);
          !status.ok())
        return status;
    }
    SetName(kind_.kind, new_name_, thing);
  }
  if (thing.kind_case() == v1::Thing::KIND_NOT_SET) {
    return Usage(absl::StrCat("nothing is changed: say what is, as in: rundlet ",
                              KindWord(kind_.kind), " change '", name_, "' --name NEW"));
  }
  thing.set_thing_id(thing_id->ToBytes());
  return absl::OkStatus();
}

// ---- retire ----

void ThingRetire::DeclareWords(CLI::App& app) {
  app.add_option("name", name_, "which")->type_name(TypeNameOf(kind_.kind))->required();
  app.add_option("--reason", reason_, "why");
}

absl::Status ThingRetire::Make(Planner& planner, Change& change) {
  const auto thing_id = planner.Named(kind_.kind, name_);
  if (!thing_id.ok()) return thing_id.status();
  const Handle handle = planner.fold().interner().Find(*thing_id);
  if (planner.fold().directory().Find(handle)->retired) {
    return absl::FailedPreconditionError(
        absl::StrCat("'", name_, "' is retired already; any change brings it back: rundlet ",
                     KindWord(kind_.kind), " change"));
  }
  if (const int64_t volume_ul = planner.moment().VolumeOf(*thing_id); volume_ul > 0) {
    change.warnings.push_back(absl::StrCat(name_, " still holds ", FormatVolume(volume_ul)));
  }
  v1::Retired& retired = *change.Add().mutable_retired();
  retired.set_thing_id(thing_id->ToBytes());
  retired.set_reason(reason_);
  return absl::OkStatus();
}

// ---- list ----

void ThingList::DeclareWords(CLI::App& app) {
  app.add_flag("--retired", retired_, "also those no longer in use");
}

absl::Status ThingList::Show(Cellar& cellar, Session& session) {
  const Fold& fold = *cellar.fold;
  Table table(kind_.headings);
  std::vector<std::string> items;
  for (const Handle handle : ThingsByName(fold, kind_.kind, retired_)) {
    const Directory::Known& known = *fold.directory().Find(handle);
    std::vector<std::string> row = kind_.row(fold, handle, known.thing);
    items.push_back(JsonOfRow(kind_, fold, handle));
    if (known.retired) row.front() += " (retired)";
    table.Add(std::move(row));
  }
  if (json()) {
    session.out() << JsonArray(items) << "\n";
  } else if (table.empty()) {
    session.err() << "there is no " << KindWord(kind_.kind) << " yet: rundlet "
                  << KindWord(kind_.kind) << " new --help\n";
  } else {
    session.out() << table.Print(session.columns());
  }
  return absl::OkStatus();
}

}  // namespace rundlet::client
