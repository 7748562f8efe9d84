#include "../cli/no_network.hpp"

#include <catch2/catch.hpp>
#include <atomic>
#include <cerrno>
#include <sys/socket.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace {

/// Why a socket of a family cannot be had; 0: it can.
int refusal(int family)
{
    const int opened = ::socket(family, SOCK_STREAM, 0);
    const int reason = opened >= 0 ? 0 : errno;
    ::close(opened);
    return reason;
}

/// In a process of its own, because there is no way back: a thread that runs already is asked too.
int in_a_child()
{
    std::atomic<bool> closed = false;
    int there = 0;
    std::thread earlier([&] {
        while (!closed) {
            std::this_thread::yield();
        }
        there = refusal(AF_INET);
    });
    const bool done = trenchwright::close_network().empty();
    closed = true;
    earlier.join();
    return done && there == EPERM && refusal(AF_INET) == EPERM && refusal(AF_INET6) == EPERM &&
                   refusal(AF_UNIX) == EPERM
               ? 0
               : 1;
}

} // namespace

TEST_CASE("no thread gets a socket of any family once the network is closed", "[cli]")
{
    REQUIRE(refusal(AF_UNIX) == 0); // this machine gives them
    const auto child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        ::_exit(in_a_child());
    }
    int status = -1;
    REQUIRE(::waitpid(child, &status, 0) == child);
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
}
