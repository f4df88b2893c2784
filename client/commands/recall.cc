// rundlet recall: where all of a packet, a material, a lot or a delivery is.
#include "core/reports/recall.h"

#include "absl/strings/str_cat.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"
#include "client/commands/report_command.h"
#include "client/commands/supplies.h"
#include "core/reports/names.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// "potassium metabisulfite, by Ashcroft, code 77-104"
std::string About(const std::string& what, const std::string& supplier, const std::string& code) {
  std::string about = what;
  if (!supplier.empty()) absl::StrAppend(&about, ", by ", supplier);
  if (!code.empty()) absl::StrAppend(&about, ", code ", code);
  return about;
}

class RecallCommand : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_, "a packet, a material, a lot; a supplier, or a supplier's code")
        ->type_name("PACKET|MATERIAL|LOT|TEXT")
        ->required();
  }

  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const auto meant = FindMeant(cellar, thing_);
    if (!meant.ok()) return meant.status();
    const auto suspects = SuspectsOf(*cellar.fold, *meant);
    if (!suspects.ok()) return suspects.status();
    const auto head = Head(cellar, session);
    if (!head.ok()) return head.status();
    sink.Head(*head);
    return reports::TellRecall(
        *cellar.fold, *suspects, [&](RowId row) { return EntryOfRow(cellar, row); }, sink);
  }

 private:
  static absl::StatusOr<std::vector<reports::Suspect>> SuspectsOf(const Fold& fold,
                                                                  const Meant& meant) {
    std::vector<reports::Suspect> suspects;
    if (meant.thing != kNoHandle) {
      auto suspect = OfThing(fold, meant.thing);
      if (!suspect.ok()) return suspect.status();
      suspects.push_back(*std::move(suspect));
    }
    for (const Supplies::Packet& packet : meant.supplies.packets) {
      auto suspect = OfThing(fold, packet.thing);
      if (!suspect.ok()) return suspect.status();
      suspects.push_back(*std::move(suspect));
    }
    for (const Supplies::Delivery& delivery : meant.supplies.deliveries) {
      reports::Suspect suspect{
          .name = absl::StrCat(delivery.what, " for ", delivery.lot),
          .about = About(absl::StrCat(delivery.what, " of ", FormatWhenDay(delivery.when)),
                         delivery.supplier, delivery.supplier_lot),
          .followed = {}};
      for (const Parcel& parcel : fold.ParcelsAt(fold.sequence().PositionOf(delivery.row))) {
        if (parcel.origin != v1::ACCOUNT_SOURCE) continue;
        suspect.followed.deliveries.insert(
            fold.FirstParcelAt(fold.sequence().PositionOf(delivery.row)) + parcel.ordinal);
      }
      suspects.push_back(std::move(suspect));
    }
    return suspects;
  }

  static absl::StatusOr<reports::Suspect> OfThing(const Fold& fold, Handle thing) {
    const v1::Thing::KindCase kind = fold.directory().kind(thing);
    reports::Suspect suspect{.name = NameOf(fold, thing), .about = {}, .followed = {}};
    if (kind == v1::Thing::kMaterial || kind == v1::Thing::kMaterialLot) {
      const reports::PacketWords words = reports::WordsOfPacket(fold, thing);
      suspect.about = About(words.material, words.supplier, words.supplier_lot);
    } else if (kind == v1::Thing::kLot) {
      suspect.about = "all that was delivered for this lot";
    } else {
      return Usage(absl::StrCat(suspect.name, " is a ", KindWord(kind),
                                "; what is recalled is a packet, a material, a lot, or what came "
                                "from a supplier: name that. What went into it tells: rundlet "
                                "trace back"));
    }
    suspect.followed = FollowThing(fold, thing);
    return suspect;
  }

  // When it was made, and from which entries.
  static absl::StatusOr<std::string> Head(Cellar& cellar, const Session& session) {
    const auto counts = cellar.store.Count();
    if (!counts.ok()) return counts.status();
    const auto last_sync_us = cellar.store.Get(MetaKey::kLastSyncUs);
    if (!last_sync_us.ok()) return last_sync_us.status();
    const Sequence& order = cellar.fold->sequence();
    std::string head = absl::StrCat("made ", FormatWhen(session.env.Now()), " of ", order.size(),
                                    order.size() == 1 ? " entry" : " entries");
    if (order.size() > 0) {
      const Row& last = order.row(order.at(order.size() - 1));
      absl::StrAppend(
          &head, ", the last ", ShortId(last.id), " of ",
          FormatWhen({.at_us = last.effective_at_us, .utc_offset_min = last.utc_offset_min}));
    }
    if (*last_sync_us > 0) {
      absl::StrAppend(&head, "; synced last ",
                      FormatWhen(WhenAt(absl::FromUnixMicros(*last_sync_us), session.env.zone)));
    }
    if (counts->outbox > 0) absl::StrAppend(&head, "; ", counts->outbox, " not synced yet");
    return head;
  }

  std::string thing_;
};

}  // namespace

std::unique_ptr<Command> MakeRecall() { return std::make_unique<RecallCommand>(); }

}  // namespace rundlet::client
