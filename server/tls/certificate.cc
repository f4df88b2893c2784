#include "server/tls/certificate.h"

#include <arpa/inet.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509.h>
#include <openssl/x509v3.h>

#include <algorithm>
#include <memory>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_join.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kValidity = absl::Hours(24 * 365 * 30);

template <auto kFree>
struct Freed {
  template <typename T>
  void operator()(T* object) const {
    kFree(object);
  }
};
using Bio = std::unique_ptr<BIO, Freed<BIO_free_all>>;
using Key = std::unique_ptr<EVP_PKEY, Freed<EVP_PKEY_free>>;
using X509Certificate = std::unique_ptr<X509, Freed<X509_free>>;
using X509Part = std::unique_ptr<X509_EXTENSION, Freed<X509_EXTENSION_free>>;
using Names = std::unique_ptr<GENERAL_NAMES, Freed<GENERAL_NAMES_free>>;

absl::Status Failed(absl::string_view what) {
  return absl::InternalError(absl::StrCat("OpenSSL cannot ", what));
}

Bio Reader(absl::string_view text) {
  return Bio(BIO_new_mem_buf(text.data(), static_cast<int>(text.size())));
}

std::string Written(const Bio& bio) {
  char* data = nullptr;
  const long size = BIO_get_mem_data(bio.get(), &data);
  return std::string(data, static_cast<size_t>(size));
}

// Asks nobody for a password: a key that has one is refused.
int NoPassword(char*, int, int, void*) { return -1; }

absl::StatusOr<X509Certificate> ParseCertificate(absl::string_view pem) {
  X509Certificate certificate(PEM_read_bio_X509(Reader(pem).get(), nullptr, NoPassword, nullptr));
  if (certificate == nullptr) return absl::InvalidArgumentError("this is no certificate in PEM");
  return certificate;
}

absl::StatusOr<Key> ParseKey(absl::string_view pem) {
  Key key(PEM_read_bio_PrivateKey(Reader(pem).get(), nullptr, NoPassword, nullptr));
  if (key == nullptr)
    return absl::InvalidArgumentError("this is no private key in PEM without a password");
  return key;
}

bool IsIpAddress(const std::string& name) {
  unsigned char bytes[sizeof(in6_addr)];
  return inet_pton(AF_INET, name.c_str(), bytes) == 1 ||
         inet_pton(AF_INET6, name.c_str(), bytes) == 1;
}

std::string AlternativeNames(absl::Span<const std::string> names) {
  std::vector<std::string> parts = {absl::StrCat("DNS:", kServerName)};
  for (const std::string& name : names) {
    std::string part = absl::StrCat(IsIpAddress(name) ? "IP:" : "DNS:", name);
    if (std::find(parts.begin(), parts.end(), part) == parts.end()) parts.push_back(part);
  }
  return absl::StrJoin(parts, ",");
}

bool AddExtension(X509* certificate, int nid, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx(&context, certificate, certificate, nullptr, nullptr, 0);
  const X509Part extension(X509V3_EXT_conf_nid(nullptr, &context, nid, value.c_str()));
  return extension != nullptr && X509_add_ext(certificate, extension.get(), -1) == 1;
}

bool SetSerial(X509* certificate) {
  unsigned char bytes[8];
  if (RAND_bytes(bytes, sizeof(bytes)) != 1) return false;
  uint64_t serial = 0;
  for (const unsigned char byte : bytes) serial = serial << 8 | byte;
  return ASN1_INTEGER_set_uint64(X509_get_serialNumber(certificate), serial >> 1 | 1) == 1;
}

}  // namespace

absl::StatusOr<CertificateFacts> ReadCertificate(absl::string_view pem) {
  const absl::StatusOr<X509Certificate> certificate = ParseCertificate(pem);
  if (!certificate.ok()) return certificate.status();
  CertificateFacts facts;
  if (X509_digest(certificate->get(), EVP_sha256(), facts.fingerprint.data(), nullptr) != 1)
    return Failed("hash a certificate");
  facts.self_signed = X509_self_signed(certificate->get(), /*verify_signature=*/1) == 1;
  const Names names(static_cast<GENERAL_NAMES*>(
      X509_get_ext_d2i(certificate->get(), NID_subject_alt_name, nullptr, nullptr)));
  for (int i = 0; names != nullptr && i < sk_GENERAL_NAME_num(names.get()); ++i) {
    const GENERAL_NAME* name = sk_GENERAL_NAME_value(names.get(), i);
    if (name->type != GEN_DNS) continue;
    facts.dns_names.emplace_back(
        reinterpret_cast<const char*>(ASN1_STRING_get0_data(name->d.dNSName)),
        static_cast<size_t>(ASN1_STRING_length(name->d.dNSName)));
  }
  return facts;
}

absl::StatusOr<std::string> MakeKey() {
  const Key key(EVP_EC_gen("P-256"));
  const Bio out(BIO_new(BIO_s_mem()));
  if (key == nullptr || out == nullptr ||
      PEM_write_bio_PKCS8PrivateKey(out.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) !=
          1)
    return Failed("make a key");
  return Written(out);
}

absl::StatusOr<std::string> MakeCertificate(absl::string_view key_pem,
                                            absl::Span<const std::string> names, absl::Time now) {
  const absl::StatusOr<Key> key = ParseKey(key_pem);
  if (!key.ok()) return key.status();
  const X509Certificate made(X509_new());
  X509* const x = made.get();
  const Bio out(BIO_new(BIO_s_mem()));
  if (x == nullptr || out == nullptr) return Failed("make a certificate");
  X509_NAME* const subject = X509_get_subject_name(x);
  const bool done =
      X509_set_version(x, X509_VERSION_3) == 1 && SetSerial(x) &&
      ASN1_TIME_set(X509_getm_notBefore(x), absl::ToTimeT(now - absl::Hours(24))) != nullptr &&
      ASN1_TIME_set(X509_getm_notAfter(x), absl::ToTimeT(now + kValidity)) != nullptr &&
      X509_NAME_add_entry_by_txt(subject, "CN", MBSTRING_UTF8,
                                 reinterpret_cast<const unsigned char*>(kServerName.data()),
                                 static_cast<int>(kServerName.size()), -1, 0) == 1 &&
      X509_set_issuer_name(x, subject) == 1 && X509_set_pubkey(x, key->get()) == 1 &&
      AddExtension(x, NID_basic_constraints, "critical,CA:FALSE") &&
      AddExtension(x, NID_key_usage, "critical,digitalSignature") &&
      AddExtension(x, NID_ext_key_usage, "serverAuth") &&
      AddExtension(x, NID_subject_alt_name, AlternativeNames(names)) &&
      X509_sign(x, key->get(), EVP_sha256()) != 0 && PEM_write_bio_X509(out.get(), x) == 1;
  if (!done) return Failed("make a certificate");
  return Written(out);
}

absl::Status CheckKeyFits(absl::string_view certificate_pem, absl::string_view key_pem) {
  const absl::StatusOr<X509Certificate> certificate = ParseCertificate(certificate_pem);
  if (!certificate.ok()) return certificate.status();
  const absl::StatusOr<Key> key = ParseKey(key_pem);
  if (!key.ok()) return key.status();
  if (X509_check_private_key(certificate->get(), key->get()) == 1) return absl::OkStatus();
  return absl::InvalidArgumentError("the key is not the one of the certificate");
}

std::string PrintFingerprint(const Hash& fingerprint) {
  return absl::StrJoin(fingerprint, ":", [](std::string* out, uint8_t byte) {
    absl::StrAppendFormat(out, "%02X", byte);
  });
}

}  // namespace rundlet::server
