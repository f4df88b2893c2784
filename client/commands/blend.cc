// rundlet blend: wine of several vessels together.
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// blend --from C2=10L --from B1 --to T1 --lot NAME
class Blend : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    v1::Transfer transfer;
    if (absl::Status status = words_.Fill(planner, change, transfer); !status.ok()) return status;
    change.Add().mutable_blend()->Swap(&transfer);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    AddList(app, "--from", words_.from, "a vessel and what was taken of it: C2=10L, or B1=all")
        ->type_name("VESSEL=VOLUME")
        ->required();
    AddList(app, "--to", words_.to,
            "the vessel that is filled; with an amount when there are several")
        ->type_name("VESSEL[=VOLUME]")
        ->required();
    words_.DeclareCommon(app);
  }

 private:
  TransferWords words_;
};

}  // namespace

std::unique_ptr<Command> MakeBlend() { return std::make_unique<Blend>(); }

}  // namespace rundlet::client
