#ifndef RUNDLET_TESTS_FAULTS_PUSHER_H_
#define RUNDLET_TESTS_FAULTS_PUSHER_H_

#include <grpcpp/grpcpp.h>

#include <memory>
#include <string>
#include <vector>

#include "absl/time/time.h"
#include "core/evidence/signing_key.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "tests/faults/promises.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/random.h"

namespace rundlet::testing {

// One device that hands entries in as fast as it can, without a process for each: the load under
// which faults happen, and the hand that sends what no client of ours would send. It has joined by
// the real client (Fleet::JoinHome), and takes token, key and place in its chain from there; that
// book learns of its entries by a sync, as of anybody's.
//
// One thread at a time.
class Pusher {
 public:
  Pusher(const std::string& home, uint64_t seed, Promises& promises);

  // The next entry of a day's work with two vessels of its own: registering and filling them first,
  // then racking, drawing, adding, reading, noting.
  WrittenEntry Write();
  std::vector<WrittenEntry> WriteMany(int count);
  TestDevice& device() { return *device_; }
  const Writer& writer() const { return device_->writer(); }
  const std::string& home() const { return home_; }

  // One call, signed. What is answered with a place in the journal is kept in the promises.
  struct Answer {
    grpc::Status status;
    v1::PushResponse response;
  };
  Answer Push(const std::vector<std::string>& entries, absl::Duration timeout = absl::Seconds(10));

  // The device's signature over a push of these.
  std::string Sign(const std::vector<std::string>& entries) const;

  // Pushes the same until the server has decided about it. False if it has not by `deadline`; what
  // was answered other than with a place fails the test.
  bool PushUntilDecided(const std::vector<WrittenEntry>& entries, absl::Time deadline);

  // Asks for a page of the journal.
  grpc::Status Pull(uint64_t after_seq, v1::PullResponse& response,
                    absl::Duration timeout = absl::Seconds(10));

  // To the address that the book has for the server, or to another one.
  void Connect(const std::string& address = "");
  // The latest error of a call, for messages.
  const std::string& last_error() const { return last_error_; }

 private:
  void Prepare(grpc::ClientContext& context, absl::Duration timeout) const;

  std::string home_;
  Random random_;
  Promises& promises_;
  std::string token_;
  std::string server_;
  std::string certificate_;
  std::unique_ptr<evidence::SigningKey> key_;
  std::unique_ptr<TestDevice> device_;
  std::string name_;  // that its vessels begin with
  int written_ = 0;
  std::unique_ptr<v1::CellarService::Stub> stub_;
  std::string last_error_;
};

std::vector<std::string> BytesOf(const std::vector<WrittenEntry>& entries);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_PUSHER_H_
