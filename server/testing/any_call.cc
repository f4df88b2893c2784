#include "server/testing/any_call.h"

#include <google/protobuf/empty.pb.h>
#include <google/protobuf/unknown_field_set.h>
#include <grpcpp/generic/generic_stub.h>

#include "absl/synchronization/notification.h"
#include "absl/time/clock.h"
#include "absl/time/time.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kPatience = absl::Seconds(30);

grpc::ByteBuffer BufferOf(const std::string& bytes) {
  const grpc::Slice slice(bytes);
  return grpc::ByteBuffer(&slice, 1);
}

std::string BytesOf(const grpc::ByteBuffer& buffer) {
  std::vector<grpc::Slice> slices;
  if (!buffer.Valid() || !buffer.Dump(&slices).ok()) return "";
  std::string bytes;
  for (const grpc::Slice& slice : slices)
    bytes.append(reinterpret_cast<const char*>(slice.begin()), slice.size());
  return bytes;
}

// One message there, one back.
class OneQuestion final : public grpc::ClientBidiReactor<grpc::ByteBuffer, grpc::ByteBuffer> {
 public:
  explicit OneQuestion(const std::string& bytes) : question_(BufferOf(bytes)) {}
  void Ask() {
    StartRead(&answer_);
    StartWriteLast(&question_, grpc::WriteOptions());
    StartCall();
  }
  std::string Await() {
    done_.WaitForNotification();
    return BytesOf(answer_);
  }
  void OnDone(const grpc::Status&) override { done_.Notify(); }

 private:
  grpc::ByteBuffer question_, answer_;
  absl::Notification done_;
};

// The fields of this number in a serialised message that is read without its definition.
std::vector<std::string> FieldsOf(const std::string& bytes, int number) {
  google::protobuf::Empty message;
  if (!message.ParseFromString(bytes)) return {};
  const auto& fields = message.GetReflection()->GetUnknownFields(message);
  std::vector<std::string> found;
  for (int i = 0; i < fields.field_count(); ++i) {
    const auto& field = fields.field(i);
    if (field.number() == number &&
        field.type() == google::protobuf::UnknownField::TYPE_LENGTH_DELIMITED)
      found.push_back(field.length_delimited());
  }
  return found;
}

}  // namespace

// grpc/reflection/v1alpha/reflection.proto: the request's field 7 asks for all services; the
// response's field 6 holds them as field 1, each with its name as field 1.
std::vector<std::string> ServicesOf(const std::shared_ptr<grpc::Channel>& channel) {
  grpc::GenericStub stub(channel);
  grpc::ClientContext context;
  context.set_deadline(absl::ToChronoTime(absl::Now() + kPatience));
  OneQuestion question(std::string("\x3a\x01*"));
  stub.PrepareBidiStreamingCall(
      &context, "/grpc.reflection.v1alpha.ServerReflection/ServerReflectionInfo", {}, &question);
  question.Ask();
  std::vector<std::string> names;
  for (const std::string& list : FieldsOf(question.Await(), 6)) {
    for (const std::string& service : FieldsOf(list, 1)) {
      for (const std::string& name : FieldsOf(service, 1)) names.push_back(name);
    }
  }
  return names;
}

Answered CallAny(const std::shared_ptr<grpc::Channel>& channel, const std::string& path,
                 const std::string& authorization, const google::protobuf::Message& request) {
  grpc::GenericStub stub(channel);
  grpc::ClientContext context;
  context.set_deadline(absl::ToChronoTime(absl::Now() + kPatience));
  if (!authorization.empty()) context.AddMetadata("authorization", authorization);
  const grpc::ByteBuffer sent = BufferOf(request.SerializeAsString());
  grpc::ByteBuffer received;
  Answered answer;
  absl::Notification done;
  stub.UnaryCall(&context, path, {}, &sent, &received, [&](const grpc::Status& status) {
    answer.status = status;
    done.Notify();
  });
  done.WaitForNotification();
  answer.response = BytesOf(received);
  return answer;
}

}  // namespace rundlet::server
