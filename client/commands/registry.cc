// All commands, as they are listed.
#include <iterator>
#include <utility>
#include <vector>

#include "client/cli/command.h"
#include "client/commands/commands.h"
#include "client/commands/thing.h"

namespace rundlet::client {
namespace {

constexpr char kWine[] = "Wine";
constexpr char kSeen[] = "What was seen";
constexpr char kGlass[] = "Bottles and stock";
constexpr char kCounts[] = "Counts and occasions";
constexpr char kMoney[] = "Costs and shares";
constexpr char kNumbers[] = "Numbers";
constexpr char kPlans[] = "Plans";
constexpr char kCare[] = "Care of gear";
constexpr char kBook[] = "The book";
constexpr char kReports[] = "Reports, export and import";
constexpr char kThings[] = "Things";
constexpr char kPeople[] = "People and devices";
constexpr char kDevice[] = "This device";

const CommandSpec kCommands[] = {
    {"receive", "juice, must, fruit or wine came in", kWine, MakeReceive},
    {"add", "materials into a vessel", kWine, MakeAdd},
    {"rack", "wine off its lees, into one vessel or several", kWine, MakeRack},
    {"blend", "wine of several vessels together", kWine, MakeBlend},
    {"top", "a vessel filled up from others", kWine, MakeTop},
    {"press", "wine off the fruit", kWine, MakePress},
    {"gauge", "what a vessel holds, as measured", kWine, MakeGauge},
    {"draw", "a sample, a spill, a glass from the cask", kWine, MakeDraw},

    {"read", "measured values", kSeen, MakeRead},
    {"treat", "degassed, stirred, chilled, filtered ...", kSeen, MakeTreat},
    {"note", "clarity, taste, smell; a note on anything", kSeen, MakeNote},

    {"bottle", "wine into bottles", kGlass, MakeBottle},
    {"take", "bottles out of a bin, with the reason", kGlass, MakeTake},
    {"put", "bottles back into a bin", kGlass, MakePut},
    {"move", "bottles from bin to bin", kGlass, MakeMove},
    {"open", "bottles that are opened, and not empty yet", kGlass, MakeOpen},
    {"finish", "what became of opened bottles", kGlass, MakeFinish},
    {"empty", "bottles whose wine goes back into a vessel", kGlass, MakeEmpty},

    {"count", "a stocktake of a bin, a vessel or a packet", kCounts, MakeCount},
    {"count sheet", "a sheet to count bins by, without the book's numbers", kCounts,
     MakeCountSheet},
    {"count enter", "a sheet that was filled in", kCounts, MakeCountEnter},
    {"differences", "where counts and the book do not agree, and why perhaps", kCounts,
     MakeDifferences},
    {"accept", "a difference that nobody can explain", kCounts, MakeAccept},
    {"occasion open", "a tasting, a market day: what is taken along", kCounts, MakeOccasionOpen},
    {"occasion close", "what came back, what was poured, sold, broken", kCounts, MakeOccasionClose},
    {"occasion list", "all occasions", kCounts, MakeOccasionList},
    {"occasion show", "one occasion, bottle by bottle", kCounts, MakeOccasionShow},

    {"cost", "what something cost beside wine and materials", kMoney, MakeCost},
    {"costs", "what wine cost, to the cent", kMoney, MakeCosts},
    {"contribute", "what a member put into a lot", kMoney, MakeContribute},
    {"shares", "what of a lot's bottles is whose", kMoney, MakeShares},

    {"reckon", "density, alcohol, sulfur dioxide, acids, vessels: reckon alone lists", kNumbers,
     MakeReckon},
    {"dose", "how much to add to a wine, from its own readings: dose alone lists", kNumbers,
     MakeDose},

    {"due", "what is to be done, and what stands in its way", kPlans, MakeDue},
    {"plan start", "a plan for a lot, from a template or a file", kPlans, MakePlanStart},
    {"plan list", "the plans that are running", kPlans, MakePlanList},
    {"plan show", "one plan, step by step", kPlans, MakePlanShow},
    {"plan done", "a step is done", kPlans, MakePlanDone},
    {"plan skip", "a step is left out", kPlans, MakePlanSkip},
    {"plan shift", "a step comes later, or earlier", kPlans, MakePlanShift},
    {"plan end", "a plan counts no longer", kPlans, MakePlanEnd},
    {"plan templates", "the plans to begin from", kPlans, MakePlanTemplates},
    {"plan calendar", "a calendar file of what is to be done", kPlans, MakePlanCalendar},

    {"buy", "what the plans will want of materials, and is not on hand", kPlans, MakeBuy},

    {"sanitise", "vessels and gear were made clean", kCare, MakeSanitise},
    {"gear lend", "somebody has it from now on", kCare, MakeGearLend},
    {"gear return", "it is back in its place", kCare, MakeGearReturn},
    {"gear book", "somebody wants it for a while", kCare, MakeGearBook},
    {"gear claims", "who has what, and who has booked it", kCare, MakeGearClaims},
    {"gear calibrate", "held against something known", kCare, MakeGearCalibrate},

    {"board", "what is where", kBook, MakeBoard},
    {"show", "everything about one thing", kBook, MakeShow},
    {"log", "the entries", kBook, MakeLog},
    {"history", "every entry about one thing: when, who, what it changed, what corrected it", kBook,
     MakeHistory},
    {"trace", "what went into it, and where it went", kBook, MakeTrace},
    {"recall", "where all of a packet, lot or delivery is, bottle by bottle", kBook, MakeRecall},
    {"held", "what waits for a person", kBook, MakeHeld},
    {"check", "which rules the wines break", kBook, MakeCheck},
    {"rule list", "what the wines are held against", kBook, MakeRuleList},
    {"rule show", "one rule, all of it, to read or to edit", kBook, MakeRuleShow},
    {"rule set", "a rule of the house, or another text for one", kBook, MakeRuleSet},
    {"rule drop", "a rule counts no longer here", kBook, MakeRuleDrop},
    {"amend", "another entry in the place of one", kBook, MakeAmend},
    {"void", "an entry counts no longer", kBook, MakeVoid},
    {"period close", "the past up to a day is not to change any more", kBook, MakePeriodClose},
    {"period reopen", "it may change again from a day on, with the reason", kBook,
     MakePeriodReopen},
    {"period list", "what is closed, and whether it is as it was", kBook, MakePeriodList},
    {"books", "all movements as double entry", kBook, MakeBooks},
    {"digest", "one number for the whole book", kBook, MakeDigest},
    {"audit", "whether the book is whole, or a dossier holds", kBook, MakeAudit},
    {"settings", "what the cellar has agreed on", kBook, MakeSettings},
    {"settings change", "agree on something else", kBook, MakeSettingsChange},

    {"report register", "ins and outs of wine and bottles, and what was there before and after",
     kReports, MakeReportRegister},
    {"report losses", "what was lost or found, by vessel and cause", kReports, MakeReportLosses},
    {"report additions", "every addition, with packet and rate", kReports, MakeReportAdditions},
    {"report bottlings", "every bottling, with fills and readings", kReports, MakeReportBottlings},
    {"report home", "what each household made in a year", kReports, MakeReportHome},
    {"report inventory", "what was where at the end of a day", kReports, MakeReportInventory},
    {"report dossier", "everything of a lot on one page", kReports, MakeReportDossier},
    {"report label", "what a bottling's label must say", kReports, MakeReportLabel},
    {"dossier", "a lot's story with its proofs, for outsiders", kReports, MakeDossier},
    {"export", "the whole cellar as a text file", kReports, MakeExport},
    {"import cellar", "such a file as a book of its own", kReports, MakeImportCellar},
    {"import log", "an old log from CSV", kReports, MakeImportLog},

    {"vessel new", "register vessels", kThings, MakeThing<VesselKind, ThingNew>},
    {"vessel change", "say something else of one", kThings, MakeThing<VesselKind, ThingChange>},
    {"vessel retire", "it is no longer in use", kThings, MakeThing<VesselKind, ThingRetire>},
    {"vessel list", "all vessels", kThings, MakeThing<VesselKind, ThingList>},
    {"lot new", "register lots", kThings, MakeThing<LotKind, ThingNew>},
    {"lot change", "say something else of one", kThings, MakeThing<LotKind, ThingChange>},
    {"lot retire", "it is finished", kThings, MakeThing<LotKind, ThingRetire>},
    {"lot list", "all lots", kThings, MakeThing<LotKind, ThingList>},
    {"material new", "register materials", kThings, MakeThing<MaterialKind, ThingNew>},
    {"material change", "say something else of one", kThings, MakeThing<MaterialKind, ThingChange>},
    {"material retire", "it is no longer in use", kThings, MakeThing<MaterialKind, ThingRetire>},
    {"material list", "all materials", kThings, MakeThing<MaterialKind, ThingList>},
    {"packet new", "a delivery of a material came in", kThings, MakePacketNew},
    {"packet change", "say something else of one", kThings, MakeThing<PacketKind, ThingChange>},
    {"packet retire", "it is used up or thrown away", kThings, MakeThing<PacketKind, ThingRetire>},
    {"packet list", "all packets", kThings, MakeThing<PacketKind, ThingList>},
    {"bin new", "register bins", kThings, MakeThing<BinKind, ThingNew>},
    {"bin change", "say something else of one", kThings, MakeThing<BinKind, ThingChange>},
    {"bin retire", "it is no longer in use", kThings, MakeThing<BinKind, ThingRetire>},
    {"bin list", "all bins", kThings, MakeThing<BinKind, ThingList>},
    {"bottling new", "register bottling runs", kThings, MakeThing<BottlingKind, ThingNew>},
    {"bottling change", "say something else of one", kThings, MakeThing<BottlingKind, ThingChange>},
    {"bottling retire", "it is finished", kThings, MakeThing<BottlingKind, ThingRetire>},
    {"bottling list", "all bottling runs", kThings, MakeThing<BottlingKind, ThingList>},
    {"gear new", "register gear", kThings, MakeThing<GearKind, ThingNew>},
    {"gear change", "say something else of it", kThings, MakeThing<GearKind, ThingChange>},
    {"gear retire", "it is no longer in use", kThings, MakeThing<GearKind, ThingRetire>},
    {"gear list", "all gear", kThings, MakeThing<GearKind, ThingList>},
    {"member new", "register members", kThings, MakeThing<MemberKind, ThingNew>},
    {"member change", "say something else of one", kThings, MakeThing<MemberKind, ThingChange>},
    {"member retire", "they have left", kThings, MakeThing<MemberKind, ThingRetire>},
    {"member list", "all members", kThings, MakeThing<MemberKind, ThingList>},

    {"invite", "a line that lets one device of somebody in", kPeople, MakeInvite},
    {"invitations", "who was invited, and what became of it", kPeople, MakeInvitations},
    {"invitation revoke", "an invitation is void", kPeople, MakeInvitationRevoke},
    {"devices", "what may write here, and whose it is", kPeople, MakeDevices},
    {"device revoke", "a device is refused from now on", kPeople, MakeDeviceRevoke},
    {"member role", "what somebody may do here", kPeople, MakeMemberRole},
    {"member leave", "somebody leaves, with all their devices", kPeople, MakeMemberLeave},

    {"init", "a cellar of your own, without a server", kDevice, MakeInit},
    {"join", "this device becomes one of a cellar's", kDevice, MakeJoin},
    {"server", "where the server is, and how this device knows it", kDevice, MakeServer},
    {"device key", "by which key this device signs; another one", kDevice, MakeDeviceKey},
    {"handover", "what was not synced, for another device to take over", kDevice, MakeHandover},
    {"takeover", "what another device could not hand in", kDevice, MakeTakeover},
    {"sync", "exchange entries with the server", kDevice, MakeSync},
    {"status", "whose book this is, and what waits", kDevice, MakeStatus},
    {"repair", "save what is whole of a damaged book", kDevice, MakeRepair},
    {"completion", "the script that lets a shell complete what is written", kDevice,
     MakeCompletion},
    {"manual", "the pages of the manual, as man reads them", kDevice, MakeManual},
    {"complete", "what a shell may put in the place of a word", "", MakeComplete},
};

}  // namespace

absl::Span<const CommandSpec> AllCommands() {
  static const std::vector<CommandSpec>* const kAll = [] {
    auto* all = new std::vector<CommandSpec>(std::begin(kCommands), std::end(kCommands));
    for (CommandSpec& spec : ReckonCommands()) all->push_back(std::move(spec));
    for (CommandSpec& spec : DoseCommands()) all->push_back(std::move(spec));
    return all;
  }();
  return *kAll;
}

}  // namespace rundlet::client
