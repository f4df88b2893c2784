// All commands, as they are listed.
#include "client/cli/command.h"
#include "client/commands/commands.h"
#include "client/commands/thing.h"

namespace rundlet::client {
namespace {

constexpr char kWine[] = "Wine";
constexpr char kSeen[] = "What was seen";
constexpr char kGlass[] = "Bottles and stock";
constexpr char kBook[] = "The book";
constexpr char kThings[] = "Things";
constexpr char kDevice[] = "This device";

constexpr CommandSpec kCommands[] = {
    {"receive", "juice, must, fruit or wine came in", kWine, MakeReceive},
    {"rack", "wine off its lees, into one vessel or several", kWine, MakeRack},
    {"vessel new", "register a vessel", kThings, MakeThing<VesselKind, ThingNew>},
    {"vessel change", "say something else of it", kThings, MakeThing<VesselKind, ThingChange>},
    {"vessel retire", "it is no longer in use", kThings, MakeThing<VesselKind, ThingRetire>},
    {"vessel list", "all vessels", kThings, MakeThing<VesselKind, ThingList>},
    {"board", "what is where", kBook, MakeBoard},
};

}  // namespace

absl::Span<const CommandSpec> AllCommands() { return kCommands; }

}  // namespace rundlet::client
