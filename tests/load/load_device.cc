#include "tests/load/load_device.h"

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "tests/support/drafts.h"
#include "tests/support/signature.h"

namespace rundlet::load {

using namespace rundlet::testing;  // what entries are made of

namespace {

constexpr absl::Duration kPatience = absl::Minutes(2);
constexpr char kMaterial[] = "tartaric acid";
// Before it asks again a server that had no room.
constexpr absl::Duration kPause = absl::Milliseconds(20);

absl::Status ToAbsl(const grpc::Status& status) {
  return absl::Status(static_cast<absl::StatusCode>(status.error_code()), status.error_message());
}

absl::Status AllRecorded(const v1::PushResponse& response, size_t count) {
  if (static_cast<size_t>(response.dispositions_size()) != count)
    return absl::InternalError("the server answered another number of entries than were sent");
  for (const v1::Disposition& disposition : response.dispositions()) {
    if (disposition.seq() == 0)
      return absl::InternalError(absl::StrCat("not recorded: ", disposition.ShortDebugString()));
  }
  return absl::OkStatus();
}

}  // namespace

std::string LoadDevice::WriteOne() {
  writer_.At(absl::ToUnixMicros(absl::Now()));  // so that it comes behind what others wrote
  const std::string full = name_ + " A";
  const std::string other = name_ + " B";
  switch (written_++) {
    case 0: {
      v1::Entry enrolled;
      enrolled.mutable_device_enrolled()->set_public_key(std::string(key_.public_key().bytes()));
      enrolled.mutable_device_enrolled()->set_device_name(name_);
      return writer_.Write(enrolled).bytes;
    }
    case 1:
      return writer_.RegisterVessel(full, 1000 * kLitre).bytes;
    case 2:
      return writer_.RegisterVessel(other, 1000 * kLitre).bytes;
    case 3:
      return writer_.RegisterLot(name_).bytes;
    case 4:
      return writer_.RegisterMaterial(kMaterial).bytes;
    case 5:
      return writer_.Receive(name_, {Fill(full, 900 * kLitre)}).bytes;
    default:
      break;
  }
  switch (written_ % 9) {
    case 0:
      return writer_.Add(full, {OfMaterial(kMaterial, Mass(10 * kGram))}).bytes;
    case 3:
      return writer_.Rack({Draw(full, kLitre)}, {FillRest(other)}).bytes;
    case 6:
      return writer_.Rack({Draw(other, kLitre)}, {FillRest(full)}).bytes;
    default:
      return writer_
          .Read(full, {Measured(v1::READING_KIND_TEMPERATURE, v1::READING_UNIT_CELSIUS,
                                (10 + written_ % 10) * 1'000'000)})
          .bytes;
  }
}

std::vector<std::string> LoadDevice::Write(int count) {
  std::vector<std::string> entries;
  for (int i = 0; i < count; ++i) entries.push_back(WriteOne());
  return entries;
}

template <typename Request, typename Response>
absl::Status LoadDevice::Call(grpc::Status (v1::CellarService::Stub::*method)(grpc::ClientContext*,
                                                                              const Request&,
                                                                              Response*),
                              const Request& request, Response& response) {
  grpc::ClientContext context;
  context.AddMetadata("authorization", absl::StrCat("Bearer ", token_));
  context.set_deadline(absl::ToChronoTime(absl::Now() + kPatience));
  return ToAbsl((stub_.get()->*method)(&context, request, &response));
}

absl::Status LoadDevice::Push(const std::vector<std::string>& entries, CallTimes& times) {
  v1::PushRequest request;
  for (const std::string& bytes : entries) request.add_entries(bytes);
  const absl::StatusOr<std::string> signature = SignatureOver(writer_.writer(), entries, key_);
  if (!signature.ok()) return signature.status();
  request.set_signature(*signature);
  const absl::Time begun = absl::Now();
  while (true) {
    v1::PushResponse response;
    const absl::Status status = Call(&v1::CellarService::Stub::Push, request, response);
    if (status.ok()) {
      times.push.Add(absl::Now() - begun);
      return AllRecorded(response, entries.size());
    }
    if (!absl::IsResourceExhausted(status) || absl::Now() - begun > kPatience) return status;
    ++times.turned_away;
    absl::SleepFor(kPause);
  }
}

absl::Status LoadDevice::Pull(CallTimes& times, int page_size) {
  v1::PullRequest request;
  request.set_after_seq(pulled_);
  request.set_page_size(page_size);
  v1::PullResponse response;
  const absl::Time begun = absl::Now();
  const absl::Status status = Call(&v1::CellarService::Stub::Pull, request, response);
  if (!status.ok()) return status;
  times.pull.Add(absl::Now() - begun);
  if (!response.rows().empty()) pulled_ = response.rows().rbegin()->seq();
  return absl::OkStatus();
}

absl::Status LoadDevice::Board(CallTimes& times) {
  v1::GetBoardResponse response;
  const absl::Time begun = absl::Now();
  const absl::Status status =
      Call(&v1::CellarService::Stub::GetBoard, v1::GetBoardRequest(), response);
  if (status.ok()) times.board.Add(absl::Now() - begun);
  return status;
}

absl::Status LoadDevice::Trace(CallTimes& times) {
  v1::GetTraceRequest request;
  request.set_subject_id(IdOf(name_ + " A").ToBytes());
  request.set_direction(v1::TRACE_DIRECTION_BACK);
  v1::GetTraceResponse response;
  const absl::Time begun = absl::Now();
  const absl::Status status = Call(&v1::CellarService::Stub::GetTrace, request, response);
  if (status.ok()) times.trace.Add(absl::Now() - begun);
  return status;
}

}  // namespace rundlet::load
