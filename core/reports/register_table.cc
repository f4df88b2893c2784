// The register as a table.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/quantity/format.h"
#include "core/reports/register.h"

namespace rundlet::reports {
namespace {

struct Flow {
  const char* key;
  const char* heading;
  v1::Account account;
};

// What comes in, but for bottling and what was put back.
constexpr Flow kIn[] = {
    {"received", "Received", v1::ACCOUNT_SOURCE},
    {"by_additions", "By additions", v1::ACCOUNT_ADDITION},
    {"gain", "Gain", v1::ACCOUNT_GAIN},
    {"counted_more", "Counted more", v1::ACCOUNT_COUNTED},
};

// What goes out, but for bottling.
constexpr Flow kOut[] = {
    {"sold", "Sold", v1::ACCOUNT_SOLD},
    {"served", "Served", v1::ACCOUNT_SERVED},
    {"gift", "Gift", v1::ACCOUNT_GIFT},
    {"share", "Share", v1::ACCOUNT_SHARE},
    {"donated", "Donated", v1::ACCOUNT_DONATED},
    {"sample", "Sample", v1::ACCOUNT_SAMPLE},
    {"dump", "Dump", v1::ACCOUNT_DUMP},
    {"spill", "Spill", v1::ACCOUNT_SPILL},
    {"breakage", "Breakage", v1::ACCOUNT_BREAKAGE},
    {"lees", "Lees", v1::ACCOUNT_LEES},
    {"evaporation", "Evaporation", v1::ACCOUNT_EVAPORATION},
    {"loss", "Loss", v1::ACCOUNT_LOSS},
    {"counted_less", "Counted less", v1::ACCOUNT_COUNTED},
};

std::vector<Column> Columns(RegisterBy by) {
  const char* const first = by == RegisterBy::kLot     ? "Lot"
                            : by == RegisterBy::kClass ? "Class"
                                                       : "Vessel or bin";
  std::vector<Column> columns = {{.key = "of", .heading = first},
                                 {.key = "what", .heading = "What"},
                                 {.key = "unit", .heading = "Unit"},
                                 {.key = "before", .heading = "On hand before", .right = true}};
  const auto add = [&columns](absl::string_view key, absl::string_view heading) {
    columns.push_back({.key = std::string(key), .heading = std::string(heading), .right = true});
  };
  for (const Flow& flow : kIn) add(flow.key, flow.heading);
  add("filled", "Filled");
  add("from_bottles", "From bottles");
  add("put_back", "Put back");
  add("crossed_in", by == RegisterBy::kVessel ? "Moved in" : "Blended in");
  add("crossed_out", by == RegisterBy::kVessel ? "Moved out" : "Blended out");
  add("bottled", "Bottled");
  add("emptied", "Emptied back");
  for (const Flow& flow : kOut) add(flow.key, flow.heading);
  add("other", "Other");
  add("after", "On hand after");
  return columns;
}

// The sum of what no column of its own has.
int64_t Rest(const std::array<int64_t, kAccounts>& amounts, absl::Span<const Flow> told) {
  int64_t rest = 0;
  for (size_t i = 0; i < kAccounts; ++i) {
    const auto has = [i](const Flow& flow) { return static_cast<size_t>(flow.account) == i; };
    if (i != v1::ACCOUNT_GLASS && std::none_of(told.begin(), told.end(), has)) rest += amounts[i];
  }
  return rest;
}

std::vector<Cell> CellsOf(const RegisterRow& row) {
  const bool wine = row.size_ul == 0;
  std::vector<Cell> cells = {
      Cell::Text(row.name),
      Cell::Text(wine ? std::string("wine") : absl::StrCat("bottles ", FormatVolume(row.size_ul))),
      Cell::Text(wine ? "L" : "bottles")};
  const auto amount = [wine](int64_t base) {
    return wine ? Cell::Volume(base) : Cell::Count(base);
  };
  const auto flow = [&](int64_t base) { cells.push_back(base == 0 ? Cell() : amount(base)); };
  cells.push_back(amount(row.opening));
  for (const Flow& in : kIn) flow(row.in[in.account]);
  flow(wine ? 0 : row.in[v1::ACCOUNT_GLASS]);
  flow(wine ? row.in[v1::ACCOUNT_GLASS] : 0);
  flow(Rest(row.in, kIn));
  flow(row.crossed_in);
  flow(row.crossed_out);
  flow(wine ? row.out[v1::ACCOUNT_GLASS] : 0);
  flow(wine ? 0 : row.out[v1::ACCOUNT_GLASS]);
  for (const Flow& out : kOut) flow(row.out[out.account]);
  flow(Rest(row.out, kOut));
  cells.push_back(amount(row.closing));
  return cells;
}

}  // namespace

void TellRegister(const Register& made, RegisterBy by, Sink& sink) {
  sink.Begin("register", Columns(by));
  for (const RegisterRow& row : made.rows) sink.Row(CellsOf(row));
  for (const RegisterRow& row : made.totals) sink.Row(CellsOf(row));
  sink.Note(
      "every row balances: on hand before, and all that came in, less all that went out, is on "
      "hand after");
}

}  // namespace rundlet::reports
