#include "server/http/http_server.h"

#include <microhttpd.h>
#include <netdb.h>

#include <cstring>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "server/limits/peer_address.h"

namespace rundlet::server {
namespace {

constexpr unsigned kThreads = 2;
constexpr unsigned kMaxConnections = 64;
constexpr unsigned kMaxConnectionsOfOne = 16;  // address; half of what one thread takes
constexpr unsigned kIdleSeconds = 15;
constexpr size_t kConnectionBytes = 16 * 1024;  // of request line and headers
constexpr char kTlsVersions[] = "NORMAL:-VERS-ALL:+VERS-TLS1.3:+VERS-TLS1.2";  // for GnuTLS

MHD_Result AddArgument(void* query, enum MHD_ValueKind, const char* name, const char* value) {
  (*static_cast<std::map<std::string, std::string>*>(query))[name] = value ? value : "";
  return MHD_YES;
}

MHD_Result Send(MHD_Connection* connection, const HttpResponse& answer) {
  MHD_Response* response = MHD_create_response_from_buffer(
      answer.body.size(), const_cast<char*>(answer.body.data()), MHD_RESPMEM_MUST_COPY);
  if (response == nullptr) return MHD_NO;
  MHD_add_response_header(response, MHD_HTTP_HEADER_CONTENT_TYPE, answer.content_type.c_str());
  MHD_add_response_header(response, MHD_HTTP_HEADER_CACHE_CONTROL, "private, no-cache");
  MHD_add_response_header(response, "X-Content-Type-Options", "nosniff");
  if (answer.status == MHD_HTTP_METHOD_NOT_ALLOWED)
    MHD_add_response_header(response, MHD_HTTP_HEADER_ALLOW, "GET, HEAD");
  const MHD_Result queued =
      MHD_queue_response(connection, static_cast<unsigned>(answer.status), response);
  MHD_destroy_response(response);
  return queued;
}

// Called twice: when the headers are there, and when the whole request is.
MHD_Result Handle(void* server, MHD_Connection* connection, const char* path, const char* method,
                  const char*, const char*, size_t* upload_size, void** state) {
  static char seen;
  const bool reads = std::strcmp(method, MHD_HTTP_METHOD_GET) == 0 ||
                     std::strcmp(method, MHD_HTTP_METHOD_HEAD) == 0;
  if (*state == nullptr && reads) {
    *state = &seen;
    return MHD_YES;
  }
  if (!reads || *upload_size > 0)
    return Send(connection, {.status = MHD_HTTP_METHOD_NOT_ALLOWED, .body = "only to be read\n"});
  HttpRequest request{.path = path};
  const MHD_ConnectionInfo* caller =
      MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
  if (caller != nullptr) request.address = AddressOf(caller->client_addr);
  MHD_get_connection_values(connection, MHD_GET_ARGUMENT_KIND, AddArgument, &request.query);
  return Send(connection, static_cast<HttpServer*>(server)->Answer(request));
}

struct FreeAddress {
  void operator()(addrinfo* address) const { freeaddrinfo(address); }
};

// "127.0.0.1:7118", "[::1]:7118", "localhost:7118".
absl::StatusOr<std::unique_ptr<addrinfo, FreeAddress>> Resolve(const std::string& listen) {
  const size_t colon = listen.rfind(':');
  absl::string_view host = absl::string_view(listen).substr(0, colon);
  if (absl::ConsumePrefix(&host, "[")) absl::ConsumeSuffix(&host, "]");
  const std::string port = colon == std::string::npos ? "0" : listen.substr(colon + 1);
  addrinfo hints{};
  hints.ai_socktype = SOCK_STREAM;
  hints.ai_flags = AI_PASSIVE | AI_NUMERICSERV;
  addrinfo* found = nullptr;
  const int failed = getaddrinfo(std::string(host).c_str(), port.c_str(), &hints, &found);
  if (failed != 0)
    return absl::InvalidArgumentError(
        absl::StrCat("'", listen, "' is no address: ", gai_strerror(failed)));
  return std::unique_ptr<addrinfo, FreeAddress>(found);
}

}  // namespace

absl::StatusOr<std::unique_ptr<HttpServer>> HttpServer::Start(const std::string& listen,
                                                              const ServerTls* tls,
                                                              Handler handler) {
  const auto address = Resolve(listen);
  if (!address.ok()) return address.status();
  if (tls != nullptr && (tls->plain_text() || MHD_is_feature_supported(MHD_FEATURE_TLS) != MHD_YES))
    return absl::FailedPreconditionError(
        absl::StrCat("will not serve ", listen,
                     " without TLS: leave --plain-text out, or listen on ", "127.0.0.1"));
  std::unique_ptr<HttpServer> server(new HttpServer(std::move(handler)));
  unsigned flags = MHD_USE_AUTO_INTERNAL_THREAD;
  if ((*address)->ai_family == AF_INET6) flags |= MHD_USE_IPv6;
  std::vector<MHD_OptionItem> secure;
  if (tls != nullptr) {
    flags |= MHD_USE_TLS;
    secure = {{MHD_OPTION_HTTPS_MEM_KEY, 0, const_cast<char*>(tls->key_pem.c_str())},
              {MHD_OPTION_HTTPS_MEM_CERT, 0, const_cast<char*>(tls->certificate_pem.c_str())},
              {MHD_OPTION_HTTPS_PRIORITIES, 0, const_cast<char*>(kTlsVersions)}};
  }
  secure.push_back({MHD_OPTION_END, 0, nullptr});
  server->daemon_ = MHD_start_daemon(
      flags, 0, nullptr, nullptr, Handle, server.get(), MHD_OPTION_SOCK_ADDR, (*address)->ai_addr,
      MHD_OPTION_THREAD_POOL_SIZE, kThreads, MHD_OPTION_CONNECTION_LIMIT, kMaxConnections,
      MHD_OPTION_PER_IP_CONNECTION_LIMIT, kMaxConnectionsOfOne, MHD_OPTION_CONNECTION_TIMEOUT,
      kIdleSeconds, MHD_OPTION_CONNECTION_MEMORY_LIMIT, kConnectionBytes, MHD_OPTION_ARRAY,
      secure.data(), MHD_OPTION_END);
  if (server->daemon_ == nullptr) {
    return absl::FailedPreconditionError(
        absl::StrCat("cannot listen on ", listen,
                     ": is something else running there? Stop it or choose another port"));
  }
  const MHD_DaemonInfo* info = MHD_get_daemon_info(server->daemon_, MHD_DAEMON_INFO_BIND_PORT);
  server->port_ = info == nullptr ? 0 : info->port;
  return server;
}

HttpServer::~HttpServer() {
  if (daemon_ != nullptr) MHD_stop_daemon(daemon_);
}

}  // namespace rundlet::server
