#pragma once

#include <unistd.h>

#include <utility>

namespace aftercurve {

/// Owns a POSIX file descriptor; −1 where there is none.
class FileDescriptor {
  public:
    explicit FileDescriptor(int descriptor = -1) : descriptor_(descriptor) {}
    FileDescriptor(FileDescriptor&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}
    FileDescriptor& operator=(FileDescriptor&& other) noexcept {
        std::swap(descriptor_, other.descriptor_);
        return *this;
    }
    FileDescriptor(const FileDescriptor&) = delete;
    FileDescriptor& operator=(const FileDescriptor&) = delete;
    ~FileDescriptor() { close(); }

    int get() const { return descriptor_; }
    bool open() const { return descriptor_ >= 0; }

    /// 0, or −1 with errno, as close(2); a second call does nothing.
    int close() {
        const int descriptor = std::exchange(descriptor_, -1);
        return descriptor < 0 ? 0 : ::close(descriptor);
    }

  private:
    int descriptor_;
};

}  // namespace aftercurve
