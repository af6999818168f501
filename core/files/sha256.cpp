#include "core/files/sha256.h"

#include <openssl/evp.h>

namespace aftercurve {

std::string hexOf(std::string_view bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string hex;
    hex.reserve(std::size_t{2} * bytes.size());
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        hex += digits[byte >> 4];
        hex += digits[byte & 0x0fu];
    }
    return hex;
}

std::string sha256Hex(std::string_view bytes) {
    std::string digest(EVP_MAX_MD_SIZE, '\0');
    unsigned int length = 0;
    if (EVP_Digest(bytes.data(), bytes.size(), reinterpret_cast<unsigned char*>(digest.data()), &length,
                   EVP_sha256(), nullptr) != 1) {
        return {};
    }
    digest.resize(length);
    return hexOf(digest);
}

}  // namespace aftercurve
