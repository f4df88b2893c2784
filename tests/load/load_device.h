#ifndef RUNDLET_TESTS_LOAD_LOAD_DEVICE_H_
#define RUNDLET_TESTS_LOAD_LOAD_DEVICE_H_

#include <grpcpp/grpcpp.h>

#include <memory>
#include <string>
#include <vector>

#include "absl/time/time.h"
#include "core/evidence/signing_key.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "tests/load/latencies.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::load {

// How long calls took, by what they asked for.
struct CallTimes {
  Latencies push, pull, board, trace;
  size_t turned_away = 0;  // pushes that the server had no room for, and took when asked again

  void Add(const CallTimes& others) {
    push.Add(others.push);
    pull.Add(others.pull);
    board.Add(others.board);
    trace.Add(others.trace);
    turned_away += others.turned_away;
  }
};

// One device that calls the service over a connection of its own, with two vessels of its own to
// write about. What is answered with an error, other than that there is no room just now, comes
// back as one. One thread at a time.
class LoadDevice {
 public:
  LoadDevice(std::string name, const Writer& writer, std::string token, evidence::SigningKey key,
             std::unique_ptr<v1::CellarService::Stub> stub)
      : name_(std::move(name)),
        token_(std::move(token)),
        key_(std::move(key)),
        writer_(name_, writer),
        stub_(std::move(stub)) {}

  // The next entries of a long day: says its key, registers two vessels and what else it needs, and
  // fills one; then two thirds readings, the rest rackings and additions.
  std::vector<std::string> Write(int count);
  // Hands them in, again and again while the server has no room; `times` gets each whole wait.
  absl::Status Push(const std::vector<std::string>& entries, CallTimes& times);
  // The next page behind what it has pulled so far.
  absl::Status Pull(CallTimes& times, int page_size = 1000);
  absl::Status Board(CallTimes& times);
  // Back from its first vessel.
  absl::Status Trace(CallTimes& times);

 private:
  std::string WriteOne();
  template <typename Request, typename Response>
  absl::Status Call(grpc::Status (v1::CellarService::Stub::*method)(grpc::ClientContext*,
                                                                    const Request&, Response*),
                    const Request& request, Response& response);

  std::string name_;
  std::string token_;
  evidence::SigningKey key_;
  testing::TestDevice writer_;
  std::unique_ptr<v1::CellarService::Stub> stub_;
  int written_ = 0;
  uint64_t pulled_ = 0;
};

}  // namespace rundlet::load

#endif  // RUNDLET_TESTS_LOAD_LOAD_DEVICE_H_
