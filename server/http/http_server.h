#ifndef RUNDLET_SERVER_HTTP_HTTP_SERVER_H_
#define RUNDLET_SERVER_HTTP_HTTP_SERVER_H_

#include <functional>
#include <map>
#include <memory>
#include <string>

#include "absl/status/statusor.h"
#include "server/tls/server_tls.h"

struct MHD_Daemon;

namespace rundlet::server {

struct HttpRequest {
  std::string path;                          // "/calendar/x.ics", decoded
  std::map<std::string, std::string> query;  // by name, the last of each
  std::string address;                       // the caller's (peer_address.h)
};

struct HttpResponse {
  int status = 200;
  std::string content_type = "text/plain; charset=utf-8";
  std::string body;
};

// Answers GET and HEAD over HTTP/1.1 (RFC 9110, 9112), for programs that read what a cellar shows
// and speak nothing else. Everything other than reading is refused. The handler runs in threads of
// the server's own, several at a time, and may wait. An address may have 16 connections; more are
// closed at once.
class HttpServer {
 public:
  using Handler = std::function<HttpResponse(const HttpRequest&)>;

  // Serves when it returns; over TLS (1.2 or newer) where `tls` is given. `listen` is "host:port"
  // and has passed CheckListenAddress; port 0 takes any that is free. FailedPrecondition: the
  // address is in use or cannot be listened on, or there is no TLS where it is asked for.
  static absl::StatusOr<std::unique_ptr<HttpServer>> Start(const std::string& listen,
                                                           const ServerTls* tls, Handler handler);

  // Lets answers under way end.
  ~HttpServer();
  HttpServer(const HttpServer&) = delete;
  HttpServer& operator=(const HttpServer&) = delete;

  int port() const { return port_; }
  HttpResponse Answer(const HttpRequest& request) const { return handler_(request); }

 private:
  explicit HttpServer(Handler handler) : handler_(std::move(handler)) {}

  const Handler handler_;
  MHD_Daemon* daemon_ = nullptr;  // owned
  int port_ = 0;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_HTTP_HTTP_SERVER_H_
