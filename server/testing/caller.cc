#include "server/testing/caller.h"

#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "rundlet/v1/error_details.pb.h"
#include "tests/support/signature.h"

namespace rundlet::server {

evidence::SigningKey TestKeyOf(const Uuid& device_id) {
  Sha256 sha;
  sha.Update(device_id.bytes());
  return *evidence::SigningKey::FromSeed(HashBytes(sha.Finish()));
}

std::shared_ptr<grpc::Channel> PlainChannel(int port) {
  return grpc::CreateChannel(absl::StrCat("127.0.0.1:", port), grpc::InsecureChannelCredentials());
}

std::string Caller::SignatureOver(const std::vector<std::string>& entries) const {
  const auto signature = rundlet::testing::SignatureOver(
      {.cellar_id = device_.cellar_id, .device_id = device_.device_id}, entries,
      TestKeyOf(device_.device_id));
  EXPECT_TRUE(signature.ok()) << signature.status();
  return signature.value_or("");
}

grpc::Status Caller::Push(const std::vector<std::string>& entries, v1::PushResponse& response,
                          absl::Duration timeout) {
  v1::PushRequest request;
  for (const std::string& entry : entries) request.add_entries(entry);
  request.set_signature(SignatureOver(entries));
  return Call(&v1::CellarService::Stub::Push, request, response, timeout);
}

std::string ReasonIn(const grpc::Status& status) {
  v1::StatusDetails details;
  EXPECT_TRUE(details.ParseFromString(status.error_details()));
  EXPECT_EQ(details.code(), status.error_code());
  EXPECT_EQ(details.message(), status.error_message());
  for (const auto& any : details.details()) {
    v1::ErrorInfo info;
    if (any.type_url() == "type.googleapis.com/google.rpc.ErrorInfo" &&
        info.ParseFromString(any.value())) {
      EXPECT_EQ(info.domain(), "rundlet");
      return info.reason();
    }
  }
  return "none";
}

}  // namespace rundlet::server
