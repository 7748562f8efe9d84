#include "no_network.hpp"

#ifdef __linux__
#include <cerrno>
#include <cstring>
#include <seccomp.h>

namespace trenchwright {

std::string close_network()
{
    auto* const filter = seccomp_init(SCMP_ACT_ALLOW);
    if (filter == nullptr) {
        return "no filter can be made";
    }
    int fault = seccomp_attr_set(filter, SCMP_FLTATR_CTL_TSYNC, 1); // threads that already run too
    // The last three are other ways to a socket: by a queue to the kernel, or out of another process.
    for (const int call : {SCMP_SYS(socket), SCMP_SYS(socketpair), SCMP_SYS(connect), SCMP_SYS(bind), SCMP_SYS(listen),
                           SCMP_SYS(io_uring_setup), SCMP_SYS(io_uring_enter), SCMP_SYS(pidfd_getfd)}) {
        fault = fault == 0 ? seccomp_rule_add(filter, SCMP_ACT_ERRNO(EPERM), call, 0) : fault;
    }
    fault = fault == 0 ? seccomp_load(filter) : fault;
    seccomp_release(filter);
    return fault == 0 ? "" : std::strerror(-fault);
}

} // namespace trenchwright
#else
namespace trenchwright {

std::string close_network()
{
    return "there is no such filter on this system";
}

} // namespace trenchwright
#endif
