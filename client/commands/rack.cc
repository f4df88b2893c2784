// rundlet rack: wine off its lees, from one vessel into one or several.
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// rack C1 C2 --lees 0.7L
class Rack : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    words_.from = {source_};
    words_.to.insert(words_.to.begin(), into_.begin(), into_.end());
    v1::Transfer transfer;
    if (absl::Status status = words_.Fill(planner, change, transfer); !status.ok()) return status;
    change.Add().mutable_racking()->Swap(&transfer);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("from", source_, "the vessel that is emptied; C1=10L when only a part is racked")
        ->type_name("VESSEL[=VOLUME]")
        ->required();
    app.add_option("into", into_, "the vessel that is filled")->type_name("VESSEL");
    AddList(app, "--to", words_.to, "a vessel and what went into it: C2=18.5L, or C3=rest")
        ->type_name("VESSEL=VOLUME");
    words_.DeclareCommon(app);
  }

 private:
  std::string source_;
  std::vector<std::string> into_;
  TransferWords words_;
};

}  // namespace

std::unique_ptr<Command> MakeRack() { return std::make_unique<Rack>(); }

}  // namespace rundlet::client
