#include "core/files/file_hash.h"

#include <openssl/evp.h>
#include <unistd.h>

#include <cerrno>
#include <memory>
#include <vector>

#include "core/files/open_inside.h"
#include "core/files/path_inside.h"
#include "core/files/sha256.h"

namespace aftercurve {

namespace {

constexpr std::size_t pieceBytes = std::size_t{1} << 20;

struct FreeContext {
    void operator()(EVP_MD_CTX* context) const { EVP_MD_CTX_free(context); }
};

}  // namespace

std::string sha256OfOpen(int file) {
    const std::unique_ptr<EVP_MD_CTX, FreeContext> context{EVP_MD_CTX_new()};
    errno = ENOMEM;
    if (!context || EVP_DigestInit_ex(context.get(), EVP_sha256(), nullptr) != 1) {
        return {};
    }
    std::vector<char> piece(pieceBytes);
    for (;;) {
        const ssize_t got = ::read(file, piece.data(), piece.size());
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return {};
        }
        if (got == 0) {
            break;
        }
        EVP_DigestUpdate(context.get(), piece.data(), static_cast<std::size_t>(got));
    }
    std::string digest(EVP_MAX_MD_SIZE, '\0');
    unsigned int length = 0;
    EVP_DigestFinal_ex(context.get(), reinterpret_cast<unsigned char*>(digest.data()), &length);
    digest.resize(length);
    return hexOf(digest);
}

Result<std::string> sha256Inside(const std::filesystem::path& folder, const std::string& name,
                                 std::uintmax_t maxBytes) {
    const Result<OpenedFile> opened = openInside(folder, name, maxBytes);
    if (!opened) {
        return opened.problem();
    }
    std::string hash = sha256OfOpen(opened.value().file.get());
    if (hash.empty()) {
        return cannotRead(name, errno);
    }
    if (!opened.value().promisedSha256.empty() && opened.value().promisedSha256 != hash) {
        return damagedStaging(name);
    }
    return hash;
}

}  // namespace aftercurve
