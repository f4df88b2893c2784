#ifndef RUNDLET_CLIENT_NUMBERS_INPUTS_H_
#define RUNDLET_CLIENT_NUMBERS_INPUTS_H_

#include <CLI/App.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/oenology/scales.h"

namespace rundlet::client {

// What a calculation takes, as people write it and as the library of oenology wants it.
enum class InputKind {
  kNumber,       // plain
  kScale,        // a reading of density on any scale, which is kept: 1.090, 22Brix, 13Be, 1090kg/m3
  kGravity,      // the same as specific gravity 20/20
  kTemperature,  // C; takes F
  kPh,
  kMgPerL,
  kGPerL,
  kAcidity,  // g/L as tartaric; takes other acids by name
  kPercent,  // of volume or mass
  kVolumeL,
  kVolumeMl,
  kMassG,
  kDose,         // g, mL or pieces, as the amount says; a bare number as it is
  kBrix,         // takes any scale of density
  kDensityKgM3,  // the same
  kLengthCm,
  kRoomM3,
  kWord,  // one of `choices`
  kText,  // anything
};

// One value that can be given: "--ph" is an option, "reading" a word by its place.
struct Input {
  const char* name;
  InputKind kind;
  const char* about;
  bool required = false;
  std::vector<std::string> choices = {};
};

// A reading of density with the scale on which it was read.
struct ScaleReading {
  oenology::Scale scale = oenology::Scale::kGravity;
  double value = 0;
};

// The values given, read and ready. Names are those of the inputs, without dashes.
class Values {
 public:
  bool Has(const std::string& name) const { return numbers_.contains(name) || Said(name); }
  // Of an input that was given.
  double operator[](const std::string& name) const;
  std::optional<double> Find(const std::string& name) const;
  double Or(const std::string& name, double otherwise) const;
  ScaleReading Scale(const std::string& name) const;
  // A word or text; empty if not given.
  std::string Word(const std::string& name) const;
  void Set(const std::string& name, double value) { numbers_[name] = value; }

 private:
  friend class InputWords;
  bool Said(const std::string& name) const { return words_.contains(name); }

  std::map<std::string, double> numbers_;
  std::map<std::string, oenology::Scale> scales_;
  std::map<std::string, std::string> words_;
};

// The words of a command line that give the inputs of a calculation.
class InputWords {
 public:
  explicit InputWords(const std::vector<Input>& inputs) : inputs_(inputs) {}
  // `app` must not parse after this is gone.
  void Declare(CLI::App& app);
  // InvalidArgument or OutOfRange: one cannot be meant; the text names it.
  absl::Status Read(Values& values) const;

 private:
  const std::vector<Input>& inputs_;
  std::map<std::string, std::string> texts_;  // of what was said, also if it is empty
};

// One value as people write it, as a number in the unit of its kind. Not for kScale and words.
absl::StatusOr<double> ReadInput(InputKind kind, const std::string& text);
absl::StatusOr<ScaleReading> ReadScale(const std::string& text);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_NUMBERS_INPUTS_H_
