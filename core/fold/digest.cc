// The canonical bytes of the folded state. Everything is named by ids and written in an order that
// depends on the set of entries only: what is a list in fold order stays so, what is a set is
// sorted by id. Integers are little-endian.
#include <algorithm>
#include <string>

#include "core/fold/fold.h"

namespace rundlet {
namespace {

class Canon {
 public:
  explicit Canon(const Fold& fold) : fold_(fold) { buffer_.reserve(kFlushAt + 4096); }

  void Tag(char tag) { buffer_.push_back(tag); }

  void Int(int64_t value) {
    for (int i = 0; i < 8; ++i)
      buffer_.push_back(static_cast<char>(static_cast<uint64_t>(value) >> (8 * i)));
    if (buffer_.size() >= kFlushAt) Flush();
  }

  void Id(const Uuid& id) { buffer_.append(id.bytes().data(), id.bytes().size()); }
  void Thing(Handle handle) { Id(fold_.interner().id(handle)); }
  void Entry(RowId row) { Id(row == kNone ? Uuid() : fold_.sequence().row(row).id); }

  void ParcelName(ParcelId parcel) {
    if (parcel == kNone) return Entry(kNone);
    const Parcel& p = fold_.state().parcels()[parcel];
    Entry(p.row);
    Int(p.ordinal);
  }

  void What(Commodity commodity) {
    const CommodityInfo& info = fold_.commodities().info(commodity);
    Int(static_cast<int64_t>(info.kind));
    Thing(info.handle);
    Int(info.measure);
  }

  void Where(Place place) {
    Int(static_cast<int64_t>(place.kind()));
    if (place.kind() == Place::Kind::kOutside) {
      Int(place.account());
    } else {
      Thing(place.handle());
    }
  }

  void Shares(absl::Span<const Share> origins, absl::Span<const Share> doses) {
    Int(static_cast<int64_t>(origins.size()));
    for (const Share& share : origins) {
      ParcelName(share.of);
      Int(share.amount);
    }
    // Doses are kept by commodity number, which depends on arrival.
    std::vector<Share> sorted(doses.begin(), doses.end());
    std::sort(sorted.begin(), sorted.end(),
              [this](const Share& a, const Share& b) { return WhatBefore(a.of, b.of); });
    Int(static_cast<int64_t>(sorted.size()));
    for (const Share& share : sorted) {
      What(share.of);
      Int(share.amount);
    }
  }

  bool WhatBefore(Commodity a, Commodity b) const {
    const CommodityInfo& x = fold_.commodities().info(a);
    const CommodityInfo& y = fold_.commodities().info(b);
    if (x.kind != y.kind) return x.kind < y.kind;
    if (x.handle != y.handle) return fold_.interner().id(x.handle) < fold_.interner().id(y.handle);
    return x.measure < y.measure;
  }

  void Bytes(const std::string& bytes) {
    Int(static_cast<int64_t>(bytes.size()));
    buffer_ += bytes;
  }

  Hash Finish() {
    Flush();
    return sha_.Finish();
  }

 private:
  static constexpr size_t kFlushAt = 1 << 16;

  void Flush() {
    sha_.Update(buffer_);
    buffer_.clear();
  }

  const Fold& fold_;
  Sha256 sha_;
  std::string buffer_;
};

void WriteThings(const Fold& fold, Canon& canon) {
  std::vector<Handle> things;
  for (int kind = v1::Thing::kVessel; kind <= v1::Thing::kBottling; ++kind) {
    fold.directory().ForEach(
        static_cast<v1::Thing::KindCase>(kind),
        [&](Handle handle, const Directory::Known&) { things.push_back(handle); });
  }
  std::sort(things.begin(), things.end(),
            [&](Handle a, Handle b) { return fold.interner().id(a) < fold.interner().id(b); });
  canon.Tag('D');
  for (const Handle handle : things) {
    const Directory::Known& known = *fold.directory().Find(handle);
    canon.Thing(handle);
    canon.Int(known.retired);
    // One serialisation by one library version is stable; a digest is compared between builds that
    // share it.
    canon.Bytes(known.thing.SerializeAsString());
  }
  canon.Bytes(fold.directory().settings().SerializeAsString());
}

void WriteVessels(const Fold& fold, Canon& canon) {
  std::vector<Handle> vessels;
  for (Handle handle = 1; handle < fold.state().holdings(); ++handle) {
    const Holding& holding = fold.state().holding(handle);
    if (holding.volume_ul > 0 || holding.dose_count > 0) vessels.push_back(handle);
  }
  std::sort(vessels.begin(), vessels.end(),
            [&](Handle a, Handle b) { return fold.interner().id(a) < fold.interner().id(b); });
  canon.Tag('V');
  for (const Handle vessel : vessels) {
    const Holding& holding = fold.state().holding(vessel);
    canon.Thing(vessel);
    canon.Int(holding.volume_ul);
    canon.ParcelName(holding.parcel);
    canon.Thing(holding.lot);
    canon.Entry(holding.since);
    canon.Shares(fold.state().origins(holding), fold.state().doses(holding));
    for (FactId fact = holding.facts; fact != kNone; fact = fold.state().facts()[fact].previous) {
      canon.Entry(fold.state().facts()[fact].row);
    }
  }
}

void WriteBalances(const Fold& fold, Canon& canon) {
  std::vector<Balance> balances;
  for (const Balance& balance : fold.state().balances()) {
    if (balance.amount != 0) balances.push_back(balance);
  }
  std::sort(balances.begin(), balances.end(), [&](const Balance& a, const Balance& b) {
    if (a.place.kind() != b.place.kind()) return a.place.kind() < b.place.kind();
    if (a.place.kind() == Place::Kind::kOutside) {  // an account, not a thing
      return a.place.account() != b.place.account() ? a.place.account() < b.place.account()
                                                    : canon.WhatBefore(a.commodity, b.commodity);
    }
    const Uuid& x = fold.interner().id(a.place.handle());
    const Uuid& y = fold.interner().id(b.place.handle());
    return x != y ? x < y : canon.WhatBefore(a.commodity, b.commodity);
  });
  canon.Tag('B');
  for (const Balance& balance : balances) {
    canon.Where(balance.place);
    canon.What(balance.commodity);
    canon.Int(balance.amount);
  }
  canon.Int(fold.state().tolerance().ppm);
  canon.Int(fold.state().tolerance().ul);
}

void WriteHistory(const Fold& fold, Canon& canon) {
  const State& state = fold.state();
  canon.Tag('P');
  for (size_t i = 0; i < state.parcels().size(); ++i) {
    const Parcel& p = state.parcels()[i];
    canon.ParcelName(static_cast<ParcelId>(i));
    canon.Int(p.volume_ul);
    canon.Int(p.origin);
    canon.Thing(p.place);
    canon.Thing(p.lot);
    canon.Shares(state.origins(p), state.doses(p));
  }
  canon.Tag('M');
  for (size_t i = 0; i < state.movements().size(); ++i) {
    const Movement& m = state.movements()[i];
    canon.Entry(m.row);
    canon.What(m.commodity);
    canon.Where(m.from);
    canon.Where(m.to);
    canon.ParcelName(m.from_parcel);
    canon.ParcelName(m.to_parcel);
    canon.Int(m.amount);
  }
  canon.Tag('F');
  for (size_t i = 0; i < state.facts().size(); ++i) {
    const Fact& f = state.facts()[i];
    canon.Entry(f.row);
    canon.Thing(f.subject);
    canon.ParcelName(f.parcel);
    canon.Int(static_cast<int64_t>(f.type));
    if (IsCount(f.type)) {
      canon.What(f.kind);
    } else {
      canon.Int(f.kind);
    }
    canon.Int(f.unit);
    canon.Int(f.value);
  }
  canon.Tag('H');
  for (size_t i = 0; i < state.held().size(); ++i) {
    const Held& h = state.held()[i];
    canon.Entry(h.row);
    canon.Int(h.reason);
    canon.Thing(h.subject);
    canon.Int(h.needed);
    canon.Int(h.there);
    canon.Entry(h.taken_by);
  }
}

void WriteOrder(const Fold& fold, Canon& canon) {
  canon.Tag('E');
  for (size_t i = 0; i < fold.sequence().size(); ++i) {
    const RowId row = fold.sequence().at(i);
    canon.Entry(row);
    canon.Int(static_cast<int64_t>(fold.sequence().row(row).standing));
    canon.Entry(fold.sequence().row(row).voided_by);
  }
}

}  // namespace

Hash Fold::StateDigest() const {
  Canon canon(*this);
  WriteThings(*this, canon);
  WriteVessels(*this, canon);
  WriteBalances(*this, canon);
  WriteHistory(*this, canon);
  WriteOrder(*this, canon);
  return canon.Finish();
}

}  // namespace rundlet
