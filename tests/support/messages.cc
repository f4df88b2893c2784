#include "tests/support/messages.h"

#include <algorithm>
#include <array>

#include "core/base/sha256.h"

namespace rundlet::testing {

Uuid IdOf(absl::string_view name) {
  Sha256 sha;
  sha.Update(name);
  const Hash hash = sha.Finish();
  std::array<uint8_t, 10> random;
  std::copy_n(hash.begin(), random.size(), random.begin());
  return Uuid::Version7(kDawnUs / 1000, random);
}

v1::Draw Draw(absl::string_view vessel, int64_t volume_ul) {
  v1::Draw draw;
  draw.set_vessel_id(IdOf(vessel).ToBytes());
  draw.set_volume_ul(volume_ul);
  return draw;
}

v1::Draw DrawAll(absl::string_view vessel) {
  v1::Draw draw;
  draw.set_vessel_id(IdOf(vessel).ToBytes());
  draw.set_all(true);
  return draw;
}

v1::Fill Fill(absl::string_view vessel, int64_t volume_ul) {
  v1::Fill fill;
  fill.set_vessel_id(IdOf(vessel).ToBytes());
  fill.set_volume_ul(volume_ul);
  return fill;
}

v1::Fill FillRest(absl::string_view vessel) {
  v1::Fill fill;
  fill.set_vessel_id(IdOf(vessel).ToBytes());
  fill.set_rest(true);
  return fill;
}

v1::Outflow Out(v1::Account account, int64_t volume_ul) {
  v1::Outflow outflow;
  outflow.set_account(account);
  outflow.set_volume_ul(volume_ul);
  return outflow;
}

v1::Outflow OutRest(v1::Account account) {
  v1::Outflow outflow;
  outflow.set_account(account);
  outflow.set_rest(true);
  return outflow;
}

namespace {

v1::Amount AmountOf(v1::Dimension dimension, int64_t base) {
  v1::Amount amount;
  amount.set_dimension(dimension);
  amount.set_base(base);
  return amount;
}

}  // namespace

v1::Amount Mass(int64_t base_ug) { return AmountOf(v1::DIMENSION_MASS, base_ug); }
v1::Amount Volume(int64_t base_ul) { return AmountOf(v1::DIMENSION_VOLUME, base_ul); }
v1::Amount Count(int64_t pieces) { return AmountOf(v1::DIMENSION_COUNT, pieces); }

v1::AdditionLine FromLot(absl::string_view material_lot, const v1::Amount& amount,
                         int64_t volume_effect_ul) {
  v1::AdditionLine line;
  line.set_material_lot_id(IdOf(material_lot).ToBytes());
  *line.mutable_amount() = amount;
  line.set_volume_effect_ul(volume_effect_ul);
  return line;
}

v1::AdditionLine OfMaterial(absl::string_view material, const v1::Amount& amount,
                            int64_t volume_effect_ul) {
  v1::AdditionLine line;
  line.set_material_id(IdOf(material).ToBytes());
  *line.mutable_amount() = amount;
  line.set_volume_effect_ul(volume_effect_ul);
  return line;
}

v1::BottleGroup Group(absl::string_view bin, int64_t count, int64_t size_ul, int64_t fill_ul) {
  v1::BottleGroup group;
  group.set_bin_id(IdOf(bin).ToBytes());
  group.set_count(count);
  group.set_size_ul(size_ul);
  group.set_fill_ul(fill_ul);
  return group;
}

v1::Bottles BottlesOf(absl::string_view bottling, int64_t count, int64_t size_ul) {
  v1::Bottles bottles;
  bottles.set_bottling_id(IdOf(bottling).ToBytes());
  bottles.set_count(count);
  bottles.set_size_ul(size_ul);
  return bottles;
}

v1::Measurement Measured(v1::ReadingKind kind, v1::ReadingUnit unit, int64_t value_micro) {
  v1::Measurement measurement;
  measurement.set_kind(kind);
  measurement.set_unit(unit);
  measurement.set_value_micro(value_micro);
  return measurement;
}

}  // namespace rundlet::testing
