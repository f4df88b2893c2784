#ifndef RUNDLET_TESTS_SUPPORT_GENERATOR_H_
#define RUNDLET_TESTS_SUPPORT_GENERATOR_H_

#include <cstdint>
#include <memory>
#include <vector>

#include "core/entry/writer.h"

// Random cellars. The same options give the same entries, on every machine.
namespace rundlet::testing {

enum class Profile {
  // What a club does in a season: nearly everything is possible, little is late or wrong.
  kRealistic,
  // Whatever is well formed: impossible draws, things that nobody registered or that are something
  // else, entries that all happen at once, voids of voids, amendments that fight over a place or
  // lie
  // about it.
  kHostile,
};

// How often each kind of entry is written, in proportion to each other.
struct Weights {
  int receive = 30, add = 120, rack = 70, blend = 15, top = 90, press = 5, gauge = 50,
      withdraw = 60;
  int read = 300, treat = 50, observe = 90;
  int bottle = 15, take_bottles = 50, move_bottles = 10, return_bottles = 8, count_bin = 8;
  int receive_material = 20, count_material = 8, settings = 1, things = 4;
};

struct GeneratorOptions {
  uint64_t seed = 1;
  Profile profile = Profile::kRealistic;
  Weights weights;

  int devices = 3;
  int vessels = 12;
  int bins = 4;
  int materials = 6;  // every other one with deliveries and stock

  // Out of a thousand entries, about so many ...
  int back_dated = 40;   // ... happened hours or days before the device's clock
  int simultaneous = 0;  // ... happened in the same microsecond as another device's last one
  int voids = 5;
  int amendments = 12;
  int newer_kinds = 0;  // ... are of a kind or format that this build does not know

  // How far the clock goes on from entry to entry, at most, in minutes.
  int64_t step_min = 90;

  // As above, or with much of what a hostile stranger would do.
  static GeneratorOptions Of(Profile profile, uint64_t seed);
};

// Writes one entry after the other. Not safe to share between threads.
class CellarGenerator {
 public:
  // Devices, member and cellar of the invented Thistledown Wine Circle.
  explicit CellarGenerator(const GeneratorOptions& options);
  // One device for each writer, for cellars that a server knows.
  CellarGenerator(const GeneratorOptions& options, const std::vector<Writer>& writers);
  ~CellarGenerator();
  CellarGenerator(CellarGenerator&&) noexcept;
  CellarGenerator& operator=(CellarGenerator&&) noexcept;

  // The first entries register things; in a hostile cellar some things are registered late or
  // never.
  WrittenEntry Next();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// The first entries of such a cellar, in the order in which they were written.
std::vector<WrittenEntry> Generate(const GeneratorOptions& options, size_t count);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_GENERATOR_H_
