// rundlet press: wine off the fruit.
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// press F1 --to C1=18L --to C2=rest --pomace 3L
class Press : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    words_.from = {source_};
    words_.to.insert(words_.to.begin(), into_.begin(), into_.end());
    v1::Transfer transfer;
    if (absl::Status status = words_.Fill(planner, change, transfer); !status.ok()) return status;
    change.Add().mutable_pressing()->Swap(&transfer);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("from", source_, "the vessel with the fruit")->type_name("VESSEL")->required();
    app.add_option("into", into_, "the vessel that is filled")->type_name("VESSEL");
    AddList(app, "--to", words_.to, "a vessel and what went into it: C1=18L, or C2=rest")
        ->type_name("VESSEL=VOLUME");
    words_.DeclareCommon(app);
  }

 private:
  std::string source_;
  std::vector<std::string> into_;
  TransferWords words_;
};

}  // namespace

std::unique_ptr<Command> MakePress() { return std::make_unique<Press>(); }

}  // namespace rundlet::client
