#ifndef RUNDLET_CLIENT_COMMANDS_COMMANDS_H_
#define RUNDLET_CLIENT_COMMANDS_COMMANDS_H_

#include <memory>
#include <vector>

#include "client/cli/change.h"
#include "client/cli/command.h"

namespace rundlet::client {

// The commands, each from a file of its own; registry.cc lists them.

// wine
std::unique_ptr<Command> MakeReceive();
std::unique_ptr<Command> MakeAdd();
std::unique_ptr<Command> MakeRack();
std::unique_ptr<Command> MakeBlend();
std::unique_ptr<Command> MakeTop();
std::unique_ptr<Command> MakePress();
std::unique_ptr<Command> MakeGauge();
std::unique_ptr<Command> MakeDraw();
// what was seen
std::unique_ptr<Command> MakeRead();
std::unique_ptr<Command> MakeTreat();
std::unique_ptr<Command> MakeNote();
// bottles and stock
std::unique_ptr<Command> MakeBottle();
std::unique_ptr<Command> MakeTake();
std::unique_ptr<Command> MakePut();
std::unique_ptr<Command> MakeMove();
std::unique_ptr<Command> MakeCount();
std::unique_ptr<Command> MakePacketNew();
std::unique_ptr<Command> MakeOpen();
std::unique_ptr<Command> MakeFinish();
std::unique_ptr<Command> MakeEmpty();
std::unique_ptr<Command> MakeCountSheet();
std::unique_ptr<Command> MakeCountEnter();
std::unique_ptr<Command> MakeDifferences();
std::unique_ptr<Command> MakeAccept();
std::unique_ptr<Command> MakeOccasionOpen();
std::unique_ptr<Command> MakeOccasionClose();
std::unique_ptr<Command> MakeOccasionList();
std::unique_ptr<Command> MakeOccasionShow();
// money and shares
std::unique_ptr<Command> MakeCost();
std::unique_ptr<Command> MakeCosts();
std::unique_ptr<Command> MakeContribute();
std::unique_ptr<Command> MakeShares();
// numbers
std::unique_ptr<Command> MakeReckon();
std::vector<CommandSpec> ReckonCommands();
std::unique_ptr<Command> MakeDose();
std::vector<CommandSpec> DoseCommands();
std::unique_ptr<Command> MakeDoseBlend();
std::unique_ptr<Command> MakeDoseTop();
// plans
std::unique_ptr<Command> MakeDue();
std::unique_ptr<Command> MakePlanStart();
std::unique_ptr<Command> MakePlanTemplates();
std::unique_ptr<Command> MakePlanList();
std::unique_ptr<Command> MakePlanShow();
std::unique_ptr<Command> MakePlanDone();
std::unique_ptr<Command> MakePlanSkip();
std::unique_ptr<Command> MakePlanShift();
std::unique_ptr<Command> MakePlanEnd();
std::unique_ptr<Command> MakePlanCalendar();
std::unique_ptr<Command> MakeBuy();
// care
std::unique_ptr<Command> MakeSanitise();
std::unique_ptr<Command> MakeGearLend();
std::unique_ptr<Command> MakeGearReturn();
std::unique_ptr<Command> MakeGearBook();
std::unique_ptr<Command> MakeGearClaims();
std::unique_ptr<Command> MakeGearCalibrate();
// the book
std::unique_ptr<Command> MakeBoard();
std::unique_ptr<Command> MakeShow();
std::unique_ptr<Command> MakeLog();
std::unique_ptr<Command> MakeHistory();
std::unique_ptr<Command> MakeTrace();
std::unique_ptr<Command> MakeRecall();
std::unique_ptr<Command> MakeHeld();
std::unique_ptr<Command> MakeCheck();
std::unique_ptr<Command> MakeRuleList();
std::unique_ptr<Command> MakeRuleShow();
std::unique_ptr<Command> MakeRuleSet();
std::unique_ptr<Command> MakeRuleDrop();
std::unique_ptr<Command> MakeAmend();
std::unique_ptr<Command> MakeVoid();
std::unique_ptr<Command> MakePeriodClose();
std::unique_ptr<Command> MakePeriodReopen();
std::unique_ptr<Command> MakePeriodList();
std::unique_ptr<Command> MakeBooks();
std::unique_ptr<Command> MakeDigest();
std::unique_ptr<Command> MakeAudit();
std::unique_ptr<Command> MakeSettings();
std::unique_ptr<Command> MakeSettingsChange();
// reports
std::unique_ptr<Command> MakeReportRegister();
std::unique_ptr<Command> MakeReportLosses();
std::unique_ptr<Command> MakeReportAdditions();
std::unique_ptr<Command> MakeReportBottlings();
std::unique_ptr<Command> MakeReportHome();
std::unique_ptr<Command> MakeReportInventory();
std::unique_ptr<Command> MakeReportDossier();
std::unique_ptr<Command> MakeReportLabel();
std::unique_ptr<Command> MakeDossier();
std::unique_ptr<Command> MakeExport();
std::unique_ptr<Command> MakeImportCellar();
std::unique_ptr<Command> MakeImportLog();
// this device
std::unique_ptr<Command> MakeInvite();
std::unique_ptr<Command> MakeInvitations();
std::unique_ptr<Command> MakeInvitationRevoke();
std::unique_ptr<Command> MakeDevices();
std::unique_ptr<Command> MakeDeviceRevoke();
std::unique_ptr<Command> MakeDeviceKey();
std::unique_ptr<Command> MakeMemberRole();
std::unique_ptr<Command> MakeMemberLeave();
std::unique_ptr<Command> MakeInit();
std::unique_ptr<Command> MakeJoin();
std::unique_ptr<Command> MakeServer();
std::unique_ptr<Command> MakeHandover();
std::unique_ptr<Command> MakeTakeover();
std::unique_ptr<Command> MakeSync();
std::unique_ptr<Command> MakeStatus();
std::unique_ptr<Command> MakeRepair();
std::unique_ptr<Command> MakeComplete();
std::unique_ptr<Command> MakeCompletion();
std::unique_ptr<Command> MakeManual();

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_COMMANDS_H_
