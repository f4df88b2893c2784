// rundlet top: a vessel filled up from others.
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// top C2 --from D1=0.4L
class Top : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    words_.to = {target_};
    v1::Transfer transfer;
    if (absl::Status status = words_.Fill(planner, change, transfer); !status.ok()) return status;
    change.Add().mutable_topping()->Swap(&transfer);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", target_, "the vessel that is topped up")
        ->type_name("VESSEL")
        ->required();
    AddList(app, "--from", words_.from, "a vessel and what was taken of it: D1=0.4L")
        ->type_name("VESSEL=VOLUME")
        ->required();
    words_.DeclareCommon(app);
  }

 private:
  std::string target_;
  TransferWords words_;
};

}  // namespace

std::unique_ptr<Command> MakeTop() { return std::make_unique<Top>(); }

}  // namespace rundlet::client
