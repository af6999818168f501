#pragma once

#include <fcntl.h>
#include <grp.h>
#include <gtest/gtest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>

namespace aftercurve::test {

constexpr int allWell = 0;
constexpr int notPossibleHere = 77;

/// Runs `body` in a child process, so that what it does to limits, users and mounts ends with it; gives its
/// exit code.
inline int inChild(const std::function<int()>& body) {
    const pid_t child = ::fork();
    if (child == 0) {
        ::_exit(body());
    }
    int status = 0;
    EXPECT_EQ(::waitpid(child, &status, 0), child);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/// Gives up the rights of the superuser, who may write everywhere; for a child. True also for who never had
/// them.
inline bool becomeOrdinaryUser() {
    constexpr uid_t nobody = 65534;
    return ::geteuid() != 0 ||
           (::setgroups(0, nullptr) == 0 && ::setgid(nobody) == 0 && ::setuid(nobody) == 0);
}

/// No file can grow past `bytes` in this process; writing past it fails with "File too large".
inline bool limitFileSize(rlim_t bytes) {
    const rlimit limit{bytes, bytes};
    return std::signal(SIGXFSZ, SIG_IGN) != SIG_ERR && ::setrlimit(RLIMIT_FSIZE, &limit) == 0;
}

/// Mounts 64 KiB that only this process sees; needs the superuser or user namespaces.
inline bool mountSmallDisk(const std::filesystem::path& at) {
    const std::string user = std::to_string(::geteuid());
    if (::unshare(CLONE_NEWNS) != 0) {
        if (::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0) {
            return false;
        }
        std::ofstream{"/proc/self/uid_map"} << "0 " << user << " 1";
    }
    return ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
           ::mount("tmpfs", at.c_str(), "tmpfs", 0, "size=64k,mode=777") == 0 &&
           (std::ofstream{at / "probe"} << "x").flush().good() && std::filesystem::remove(at / "probe");
}

inline mode_t permissionsOf(const std::filesystem::path& file) {
    struct stat status {};
    EXPECT_EQ(::stat(file.c_str(), &status), 0);
    return status.st_mode & 07777;
}

}  // namespace aftercurve::test
