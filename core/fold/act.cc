#include "core/fold/act.h"

#include <string>

#include "core/base/uuid.h"
#include "core/entry/limits.h"

namespace rundlet {
namespace {

// Writes the lines of one act.
class ActWriter {
 public:
  ActWriter(Act& act, Interner& interner, Commodities& commodities)
      : act_(act), interner_(interner), commodities_(commodities) {}

  Handle Intern(const std::string& id) {
    const auto uuid = Uuid::FromBytes(id);
    return uuid.ok() ? interner_.Intern(*uuid) : kNoHandle;
  }

  Line& Add(Role role, uint32_t handle = 0) {
    Line& line = act_.lines.emplace_back();
    line.role = role;
    line.handle = handle;
    return line;
  }

  void Draw(const v1::Draw& draw) {
    Line& line = Add(Role::kDraw, Intern(draw.vessel_id()));
    line.whole = draw.all();
    line.amount = draw.volume_ul();
  }

  void Fill(const v1::Fill& fill) {
    Line& line = Add(Role::kFill, Intern(fill.vessel_id()));
    line.whole = fill.rest();
    line.amount = fill.volume_ul();
  }

  void Outflow(const v1::Outflow& outflow) {
    Line& line = Add(Role::kOutflow, outflow.account());
    line.whole = outflow.rest();
    line.amount = outflow.volume_ul();
  }

  void Material(const v1::AdditionLine& what) {
    const bool from_stock = what.what_case() == v1::AdditionLine::kMaterialLotId;
    Line& line = MaterialLine(from_stock ? what.material_lot_id() : what.material_id(),
                              what.amount(), from_stock);
    line.extra = what.volume_effect_ul();
  }

  Line& MaterialLine(const std::string& id, const v1::Amount& amount, bool from_stock) {
    const Handle handle = Intern(id);
    Line& line = Add(Role::kMaterial, handle);
    line.other = commodities_.Intern({CommodityInfo::Kind::kMaterial, handle, amount.dimension()});
    line.amount = amount.base();
    line.whole = from_stock;
    return line;
  }

  Commodity BottlesOf(const std::string& bottling_id, int64_t size_ul) {
    return commodities_.Intern({CommodityInfo::Kind::kBottles, Intern(bottling_id), size_ul});
  }

  void Bottles(Handle bin, const v1::Bottles& bottles) {
    const Commodity commodity = BottlesOf(bottles.bottling_id(), bottles.size_ul());
    Line& line = Add(Role::kBottles, bin);
    line.other = commodity;
    line.amount = bottles.count();
    line.extra = bottles.count() * bottles.size_ul();
  }

  void Opened(const v1::Bottles& bottles) {
    const Commodity commodity = BottlesOf(bottles.bottling_id(), bottles.size_ul());
    Line& line = Add(Role::kOpened);
    line.other = commodity;
    line.amount = bottles.count();
  }

  // The run that bottles are of must be known as well; it follows what the act is about.
  void Bottling(const v1::Bottles& bottles) { Add(Role::kBottling, Intern(bottles.bottling_id())); }

  void Transfer(const v1::Transfer& transfer) {
    for (const v1::Draw& draw : transfer.draws()) Draw(draw);
    for (const v1::Fill& fill : transfer.fills()) Fill(fill);
    for (const v1::Outflow& outflow : transfer.outflows()) Outflow(outflow);
    if (!transfer.lot_id().empty()) Add(Role::kLot, Intern(transfer.lot_id()));
    for (const std::string& id : transfer.equipment_ids()) Add(Role::kGear, Intern(id));
  }

  void Bottled(const v1::Bottled& bottled) {
    Add(Role::kBottling, Intern(bottled.bottling_id()));
    for (const v1::Draw& draw : bottled.draws()) Draw(draw);
    for (const v1::BottleGroup& group : bottled.groups()) {
      const Commodity commodity = BottlesOf(bottled.bottling_id(), group.size_ul());
      Line& line = Add(Role::kGlass, Intern(group.bin_id()));
      line.other = commodity;
      line.amount = group.count();
      line.extra = group.count() * (group.fill_ul() > 0 ? group.fill_ul() : group.size_ul());
    }
    for (const v1::Outflow& outflow : bottled.outflows()) Outflow(outflow);
    for (const v1::AdditionLine& line : bottled.packaging()) Material(line);
  }

 private:
  Act& act_;
  Interner& interner_;
  Commodities& commodities_;
};

void WriteVesselAct(const v1::Entry& entry, ActWriter& write, Act& act) {
  switch (entry.body_case()) {
    case v1::Entry::kWineReceived:
      act.kind = ActKind::kReceive;
      write.Add(Role::kLot, write.Intern(entry.wine_received().lot_id()));
      for (const v1::Fill& fill : entry.wine_received().fills()) write.Fill(fill);
      break;
    case v1::Entry::kAddition:
      act.kind = ActKind::kAdd;
      write.Add(Role::kVessel, write.Intern(entry.addition().vessel_id()));
      for (const v1::AdditionLine& line : entry.addition().lines()) write.Material(line);
      break;
    case v1::Entry::kGauging:
      act.kind = entry.gauging().noted() ? ActKind::kGaugeNote : ActKind::kGauge;
      write.Add(Role::kVessel, write.Intern(entry.gauging().vessel_id()));
      write.Add(Role::kVolume).amount = entry.gauging().volume_ul();
      write.Add(Role::kAccount, entry.gauging().cause() == v1::ACCOUNT_UNSPECIFIED
                                    ? v1::ACCOUNT_LOSS
                                    : entry.gauging().cause());
      break;
    case v1::Entry::kWithdrawal: {
      act.kind = ActKind::kTransfer;
      write.Draw(entry.withdrawal().draw());
      write.Add(Role::kOutflow, entry.withdrawal().account()).whole = true;
      break;
    }
    case v1::Entry::kReading:
      act.kind = ActKind::kRead;
      write.Add(Role::kVessel, write.Intern(entry.reading().vessel_id()));
      for (const v1::Measurement& m : entry.reading().measurements()) {
        Line& line = write.Add(Role::kMeasure, m.kind());
        line.other = m.unit();
        line.amount = m.value_micro();
      }
      if (!entry.reading().equipment_id().empty())
        write.Add(Role::kGear, write.Intern(entry.reading().equipment_id()));
      break;
    case v1::Entry::kTreatment:
      act.kind = ActKind::kTreat;
      write.Add(Role::kVessel, write.Intern(entry.treatment().vessel_id()));
      write.Add(Role::kTreatment, entry.treatment().kind()).amount =
          entry.treatment().duration_min();
      for (const std::string& id : entry.treatment().equipment_ids())
        write.Add(Role::kGear, write.Intern(id));
      break;
    case v1::Entry::kObservation:
      act.kind = ActKind::kObserve;
      write.Add(Role::kSubject, write.Intern(entry.observation().subject_id()));
      break;
    default:
      break;
  }
}

// What is only kept. Its things need not be known: nobody's cleaning waits for a registration.
void WriteRecord(const v1::Entry& entry, ActWriter& write, Act& act) {
  act.kind = ActKind::kRecord;
  const auto about = [&](const std::string& id) {
    if (!id.empty()) write.Add(Role::kAbout, write.Intern(id));
  };
  switch (entry.body_case()) {
    case v1::Entry::kSanitised:
      for (const std::string& id : entry.sanitised().subject_ids()) about(id);
      about(entry.sanitised().material_lot_id());
      break;
    case v1::Entry::kGearHanded:
      about(entry.gear_handed().equipment_id());
      break;
    case v1::Entry::kGearBooked:
      about(entry.gear_booked().equipment_id());
      break;
    case v1::Entry::kCalibrated:
      about(entry.calibrated().equipment_id());
      break;
    case v1::Entry::kPlanStarted:
      about(entry.plan_started().lot_id());
      break;
    case v1::Entry::kOccasionClosed:
      about(entry.occasion_closed().bin_id());
      break;
    case v1::Entry::kContributed:
      about(entry.contributed().lot_id());
      about(entry.contributed().member_id());
      break;
    case v1::Entry::kCostEntered:
      about(entry.cost_entered().lot_id());
      break;
    case v1::Entry::kPlanStepDone:
    case v1::Entry::kPlanStepSkipped:
    case v1::Entry::kPlanShifted:
    case v1::Entry::kPlanEnded:
    case v1::Entry::kHouseRuleSet:
    case v1::Entry::kDeviceEnrolled:
    case v1::Entry::kPeriodClosed:
    case v1::Entry::kPeriodReopened:
      break;
    case v1::Entry::kInvited:
      about(entry.invited().member_id());
      break;
    default:
      act.kind = ActKind::kUnknown;
  }
}

void WriteStoreAct(const v1::Entry& entry, ActWriter& write, Act& act) {
  switch (entry.body_case()) {
    case v1::Entry::kMaterialReceived:
      act.kind = ActKind::kStockIn;
      write.MaterialLine(entry.material_received().material_lot_id(),
                         entry.material_received().amount(), true);
      break;
    case v1::Entry::kMaterialCounted:
      act.kind = ActKind::kStockCount;
      write.MaterialLine(entry.material_counted().material_lot_id(),
                         entry.material_counted().amount(), true);
      if (entry.material_counted().adopted()) write.Add(Role::kAdopted);
      break;
    case v1::Entry::kBottlesMoved:
      act.kind = ActKind::kBottlesMove;
      write.Bottles(write.Intern(entry.bottles_moved().from_bin_id()),
                    entry.bottles_moved().bottles());
      write.Add(Role::kToBin, write.Intern(entry.bottles_moved().to_bin_id()));
      write.Bottling(entry.bottles_moved().bottles());
      break;
    case v1::Entry::kBottlesTaken:
      if (entry.bottles_taken().opened()) {
        act.kind = ActKind::kBottlesFinish;
        write.Opened(entry.bottles_taken().bottles());
      } else {
        act.kind = ActKind::kBottlesTake;
        write.Bottles(write.Intern(entry.bottles_taken().from_bin_id()),
                      entry.bottles_taken().bottles());
      }
      write.Add(Role::kAccount, entry.bottles_taken().account());
      write.Bottling(entry.bottles_taken().bottles());
      break;
    case v1::Entry::kBottlesReturned:
      act.kind = ActKind::kBottlesReturn;
      write.Bottles(write.Intern(entry.bottles_returned().to_bin_id()),
                    entry.bottles_returned().bottles());
      write.Add(Role::kAccount, entry.bottles_returned().account());
      write.Bottling(entry.bottles_returned().bottles());
      break;
    case v1::Entry::kBottlesEmptied: {
      const v1::BottlesEmptied& emptied = entry.bottles_emptied();
      act.kind = ActKind::kBottlesEmpty;
      write.Bottles(write.Intern(emptied.from_bin_id()), emptied.bottles());
      write.Bottling(emptied.bottles());
      for (const v1::Fill& fill : emptied.fills()) write.Fill(fill);
      for (const v1::Outflow& outflow : emptied.outflows()) write.Outflow(outflow);
      if (!emptied.lot_id().empty()) write.Add(Role::kLot, write.Intern(emptied.lot_id()));
      break;
    }
    case v1::Entry::kBinCounted:
      act.kind = ActKind::kBinCount;
      for (const v1::Bottles& bottles : entry.bin_counted().bottles()) {
        write.Bottles(write.Intern(entry.bin_counted().bin_id()), bottles);
      }
      for (const v1::Bottles& bottles : entry.bin_counted().bottles()) write.Bottling(bottles);
      if (entry.bin_counted().adopted()) write.Add(Role::kAdopted);
      break;
    default:
      break;
  }
}

}  // namespace

Act MakeAct(const v1::Entry& entry, Interner& interner, Commodities& commodities) {
  Act act;
  // A newer format may mean something else by the same field, and nobody has checked its body.
  if (entry.format_version() > kFormatVersion) return act;
  ActWriter write(act, interner, commodities);
  const auto transfer = [&](const v1::Transfer& body) {
    act.kind = ActKind::kTransfer;
    write.Transfer(body);
  };
  switch (entry.body_case()) {
    case v1::Entry::BODY_NOT_SET:
      break;
    case v1::Entry::kSettingsChanged: {
      const v1::SettingsChanged& settings = entry.settings_changed();
      act.kind = ActKind::kSettings;
      Line& line = write.Add(Role::kTolerance);
      line.amount = settings.has_tolerance_ppm() ? settings.tolerance_ppm() : -1;
      line.extra = settings.has_tolerance_ul() ? settings.tolerance_ul() : -1;
      break;
    }
    case v1::Entry::kRegistered:
    case v1::Entry::kChanged:
    case v1::Entry::kRetired:
      act.kind = ActKind::kDirectory;
      break;
    case v1::Entry::kVoid:
      act.kind = ActKind::kVoid;
      break;
    case v1::Entry::kRacking:
      transfer(entry.racking());
      break;
    case v1::Entry::kBlend:
      transfer(entry.blend());
      break;
    case v1::Entry::kTopping:
      transfer(entry.topping());
      break;
    case v1::Entry::kPressing:
      transfer(entry.pressing());
      break;
    case v1::Entry::kBottled:
      act.kind = ActKind::kTransfer;
      write.Bottled(entry.bottled());
      break;
    default:
      WriteVesselAct(entry, write, act);
      if (act.kind == ActKind::kUnknown) WriteStoreAct(entry, write, act);
      if (act.kind == ActKind::kUnknown) WriteRecord(entry, write, act);
  }
  return act;
}

}  // namespace rundlet
