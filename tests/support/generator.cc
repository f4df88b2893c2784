#include "tests/support/generator.h"

#include <algorithm>
#include <utility>

#include "absl/strings/str_cat.h"
#include "tests/support/body_maker.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/random.h"

namespace rundlet::testing {

GeneratorOptions GeneratorOptions::Of(Profile profile, uint64_t seed) {
  GeneratorOptions options{.seed = seed, .profile = profile, .weights = {}};
  if (profile == Profile::kHostile) {
    options.vessels = 6;
    options.bins = 3;
    options.materials = 3;
    options.back_dated = 250;
    options.simultaneous = 150;
    options.voids = 60;
    options.amendments = 90;
    options.step_min = 3;
  }
  return options;
}

struct CellarGenerator::Impl {
  // How many entries back a person still finds one to amend or void.
  static constexpr size_t kRemembered = 200;

  explicit Impl(const GeneratorOptions& options) : options(options), random(options.seed) {
    if (options.profile == Profile::kRealistic) {
      bodies = std::make_unique<RealisticBodies>(options, random);
    } else {
      bodies = std::make_unique<HostileBodies>(options, random);
    }
  }

  WrittenEntry Next();
  int64_t EffectiveTime();
  // Any of the remembered ones; nullptr if there is none.
  const v1::Entry* Past() {
    return past.empty() ? nullptr : &past[random.Below(static_cast<int64_t>(past.size()))];
  }
  v1::Entry Void(const v1::Entry& target);
  v1::Entry Amend(const v1::Entry& target, TestDevice& device);
  void Remember(const v1::Entry& entry);

  GeneratorOptions options;
  Random random;
  std::unique_ptr<BodyMaker> bodies;
  std::vector<TestDevice> devices;
  int64_t clock_us = kDawnUs;
  int64_t last_effective_us = kDawnUs;
  std::vector<v1::Entry> past;
  size_t oldest = 0;
};

int64_t CellarGenerator::Impl::EffectiveTime() {
  clock_us += random.Between(1, options.step_min * kMinuteUs);
  if (random.Chance(options.simultaneous)) return last_effective_us;
  if (!random.Chance(options.back_dated)) return clock_us;
  const int64_t longest_us = options.step_min * kMinuteUs * 40;
  return std::max(kDawnUs, clock_us - random.Between(1, longest_us));
}

v1::Entry CellarGenerator::Impl::Void(const v1::Entry& target) {
  v1::Entry entry;
  // Now and then something that nobody has ever seen.
  const bool unknown = options.profile == Profile::kHostile && random.Chance(100);
  entry.mutable_void_()->set_target_id(unknown ? IdOf(absl::StrCat(random.Next())).ToBytes()
                                               : target.entry_id());
  entry.mutable_void_()->set_reason("written twice");
  return entry;
}

v1::Entry CellarGenerator::Impl::Amend(const v1::Entry& target, TestDevice& device) {
  v1::Entry original = target;
  original.clear_amendment();
  original.clear_previous_hash();
  original.DiscardUnknownFields();
  const bool known = original.body_case() != v1::Entry::BODY_NOT_SET;
  v1::Entry body = known ? bodies->Corrected(original) : bodies->Make();
  v1::Entry claimed = target;
  if (options.profile == Profile::kHostile && random.Chance(150)) {
    // A lie about whose place it takes.
    claimed.clear_amendment();
    claimed.set_device_seq(static_cast<uint64_t>(random.Between(1, 30)));
  }
  device.Amending(claimed);
  return body;
}

void CellarGenerator::Impl::Remember(const v1::Entry& entry) {
  if (past.size() < kRemembered) {
    past.push_back(entry);
  } else {
    past[oldest] = entry;
    oldest = (oldest + 1) % kRemembered;
  }
}

WrittenEntry CellarGenerator::Impl::Next() {
  TestDevice& device = devices[random.Below(static_cast<int64_t>(devices.size()))];
  const int64_t at_us = EffectiveTime();
  const v1::Entry* target = Past();
  const int64_t dice = random.Below(1000);
  v1::Entry body;
  // Few people void the vessel itself.
  const bool voidable =
      target != nullptr && (options.profile == Profile::kHostile || !target->has_registered());
  if (voidable && dice < options.voids) {
    body = Void(*target);
  } else if (target != nullptr && dice < options.voids + options.amendments) {
    body = Amend(*target, device);
  } else {
    body = bodies->Make();
  }
  // An amendment happens when the amended entry did, or says that it was at another time.
  const bool in_place = dice >= options.voids && dice < options.voids + options.amendments &&
                        target != nullptr && random.Chance(600);
  const int64_t effective_us = in_place ? target->effective_at_us() : at_us;
  device.At(effective_us).WrittenAt(clock_us);
  last_effective_us = effective_us;
  WrittenEntry written;
  if (random.Chance(options.newer_kinds)) {
    written =
        random.Chance(500) ? device.WriteOfNewerKind() : device.WriteInNewerFormat(std::move(body));
  } else {
    written = device.Write(std::move(body));
  }
  Remember(written.entry);
  return written;
}

CellarGenerator::CellarGenerator(const GeneratorOptions& options)
    : impl_(std::make_unique<Impl>(options)) {
  for (int i = 0; i < options.devices; ++i) {
    impl_->devices.emplace_back(absl::StrCat("device ", i));
  }
}

CellarGenerator::CellarGenerator(const GeneratorOptions& options,
                                 const std::vector<Writer>& writers)
    : impl_(std::make_unique<Impl>(options)) {
  for (const Writer& writer : writers) {
    impl_->devices.emplace_back(writer.device_id.ToString(), writer);
  }
}

CellarGenerator::~CellarGenerator() = default;
CellarGenerator::CellarGenerator(CellarGenerator&&) noexcept = default;
CellarGenerator& CellarGenerator::operator=(CellarGenerator&&) noexcept = default;

WrittenEntry CellarGenerator::Next() { return impl_->Next(); }

std::vector<WrittenEntry> Generate(const GeneratorOptions& options, size_t count) {
  CellarGenerator generator(options);
  std::vector<WrittenEntry> entries;
  entries.reserve(count);
  while (entries.size() < count) entries.push_back(generator.Next());
  return entries;
}

}  // namespace rundlet::testing
