#include "core/dossier/file.h"

#include <google/protobuf/io/coded_stream.h>
#include <google/protobuf/io/zero_copy_stream_impl_lite.h>
#include <google/protobuf/util/json_util.h>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/strip.h"

namespace rundlet::dossier {
namespace {

absl::Status NoDossier(absl::string_view why) {
  return absl::InvalidArgumentError(absl::StrCat(
      "this is no dossier: ", why, "; ask whoever made it for the file as it was written"));
}

// The JSON of a page, or all of the file where it is no page.
absl::StatusOr<absl::string_view> JsonOf(absl::string_view file) {
  if (absl::StripLeadingAsciiWhitespace(file).substr(0, 1) == "{") return file;
  const size_t begin = file.find(kDataBegin);
  if (begin == absl::string_view::npos) return NoDossier("it has no data of one");
  if (file.find(kDataBegin, begin + 1) != absl::string_view::npos)
    return NoDossier("it has the data of two");
  const absl::string_view rest = file.substr(begin + sizeof(kDataBegin) - 1);
  const size_t end = rest.find(kDataEnd);
  if (end == absl::string_view::npos) return NoDossier("its end is missing");
  return rest.substr(0, end);
}

}  // namespace

Hash DigestOf(const v1::Dossier& dossier) {
  v1::Dossier bare = dossier;
  bare.clear_digest();
  std::string bytes;
  {
    google::protobuf::io::StringOutputStream stream(&bytes);
    google::protobuf::io::CodedOutputStream coded(&stream);
    coded.SetSerializationDeterministic(true);
    bare.SerializeToCodedStream(&coded);
  }
  Sha256 sha;
  sha.Update(bytes);
  return sha.Finish();
}

absl::StatusOr<std::string> ToJson(const v1::Dossier& dossier) {
  google::protobuf::util::JsonPrintOptions options;
  options.add_whitespace = true;
  options.preserve_proto_field_names = true;
  std::string json;
  if (!google::protobuf::util::MessageToJsonString(dossier, &json, options).ok())
    return absl::InternalError("the dossier could not be written as JSON");
  return absl::StrReplaceAll(json, {{"<", "\\u003c"}, {">", "\\u003e"}, {"&", "\\u0026"}});
}

absl::StatusOr<v1::Dossier> ReadDossier(absl::string_view file) {
  if (file.size() > kMaxFileBytes) return NoDossier("it is too long for one");
  const auto json = JsonOf(file);
  if (!json.ok()) return json.status();
  v1::Dossier dossier;
  const auto read = google::protobuf::util::JsonStringToMessage(
      google::protobuf::StringPiece(json->data(), json->size()), &dossier);
  if (!read.ok()) return NoDossier(std::string(read.message()));
  return dossier;
}

}  // namespace rundlet::dossier
