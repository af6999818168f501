#pragma once

#include <zip.h>

#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace aftercurve::test {

/// Parts of an archive by name, in the order they are written.
using ArchiveParts = std::vector<std::pair<std::string, std::string>>;

/// A zip archive in memory, its parts deflated or stored.
inline std::string zipped(const ArchiveParts& parts, bool deflated = true) {
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* const memory = zip_source_buffer_create(nullptr, 0, 0, &error);
    if (memory == nullptr) {
        throw std::runtime_error("no memory for an archive");
    }
    zip_source_keep(memory);
    zip_t* const archive = zip_open_from_source(memory, ZIP_CREATE | ZIP_TRUNCATE, &error);
    if (archive == nullptr) {
        throw std::runtime_error("cannot begin an archive");
    }
    for (const auto& [name, bytes] : parts) {
        zip_source_t* const part = zip_source_buffer(archive, bytes.data(), bytes.size(), 0);
        const zip_int64_t index = zip_file_add(archive, name.c_str(), part, ZIP_FL_ENC_UTF_8);
        if (index < 0 || zip_set_file_compression(archive, static_cast<zip_uint64_t>(index),
                                                  deflated ? ZIP_CM_DEFLATE : ZIP_CM_STORE, 0) != 0) {
            throw std::runtime_error("cannot add " + name);
        }
    }
    if (zip_close(archive) != 0) {
        throw std::runtime_error("cannot close an archive");
    }
    zip_stat_t status;
    zip_source_open(memory);
    zip_source_stat(memory, &status);
    std::string bytes(status.size, '\0');
    zip_source_read(memory, bytes.data(), bytes.size());
    zip_source_close(memory);
    zip_source_free(memory);
    return bytes;
}

/// A sheet of a made workbook; `data` is what stands inside <sheetData>, `behind` what follows it.
struct MadeSheet {
    std::string name;
    std::string data;
    std::string behind;
    std::string state;
};

/// A small workbook, written by hand so that it can be wrong in any way that a test wants.
struct MadeWorkbook {
    std::vector<MadeSheet> sheets;
    std::string sharedStrings;  ///< inside <sst>; no such part where empty
    std::string styles;         ///< inside <styleSheet>; no such part where empty
    std::string workbookPr;     ///< attributes
    ArchiveParts more;          ///< replace parts of the same name, or are added

    static constexpr const char* space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    static constexpr const char* office =
        "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

    ArchiveParts parts() const {
        const std::string head = R"(<?xml version="1.0" encoding="UTF-8" standalone="yes"?>)";
        const std::string package = "http://schemas.openxmlformats.org/package/2006/";
        const auto relation = [](const std::string& id, const std::string& type, const std::string& target) {
            return "<Relationship Id=\"" + id + "\" Type=\"" + office + "/" + type + "\" Target=\"" + target +
                   "\"/>";
        };
        const auto relations = [&](const std::string& inside) {
            return head + "<Relationships xmlns=\"" + package + "relationships\">" + inside +
                   "</Relationships>";
        };
        std::string list;
        std::string related;
        ArchiveParts made;
        for (std::size_t i = 0; i < sheets.size(); ++i) {
            const std::string number = std::to_string(i + 1);
            list += "<sheet name=\"" + sheets[i].name + "\" sheetId=\"" + number + "\"" +
                    (sheets[i].state.empty() ? "" : " state=\"" + sheets[i].state + "\"") + " r:id=\"rId" +
                    number + "\"/>";
            related += relation("rId" + number, "worksheet", "worksheets/sheet" + number + ".xml");
            made.emplace_back("xl/worksheets/sheet" + number + ".xml",
                              head + "<worksheet xmlns=\"" + space + "\"><sheetData>" + sheets[i].data +
                                  "</sheetData>" + sheets[i].behind + "</worksheet>");
        }
        if (!sharedStrings.empty()) {
            related += relation("strings", "sharedStrings", "sharedStrings.xml");
            made.emplace_back("xl/sharedStrings.xml",
                              head + "<sst xmlns=\"" + space + "\">" + sharedStrings + "</sst>");
        }
        if (!styles.empty()) {
            related += relation("styles", "styles", "styles.xml");
            made.emplace_back("xl/styles.xml",
                              head + "<styleSheet xmlns=\"" + space + "\">" + styles + "</styleSheet>");
        }
        made.emplace_back("[Content_Types].xml",
                          head + "<Types xmlns=\"" + package + "content-types\"></Types>");
        made.emplace_back("_rels/.rels", relations(relation("rId1", "officeDocument", "xl/workbook.xml")));
        made.emplace_back("xl/workbook.xml", head + "<workbook xmlns=\"" + space + "\" xmlns:r=\"" + office +
                                                 "\"><workbookPr " + workbookPr + "/><sheets>" + list +
                                                 "</sheets></workbook>");
        made.emplace_back("xl/_rels/workbook.xml.rels", relations(related));
        for (const auto& [name, bytes] : more) {
            bool replaced = false;
            for (auto& part : made) {
                if (part.first == name) {
                    part.second = bytes;
                    replaced = true;
                }
            }
            if (!replaced) {
                made.emplace_back(name, bytes);
            }
        }
        return made;
    }

    std::string bytes(bool deflated = true) const { return zipped(parts(), deflated); }
};

/// Lets every entry of a zip archive declare the expanded size `size`, in its directory and its own header.
inline std::string withDeclaredSizes(std::string bytes, std::uint32_t size) {
    const auto put = [&](std::size_t at) {
        for (std::size_t i = 0; i < 4; ++i) {
            bytes[at + i] = static_cast<char>(static_cast<unsigned char>(size >> (8 * i)));
        }
    };
    for (std::size_t at = bytes.find("PK\x01\x02"); at != std::string::npos;
         at = bytes.find("PK\x01\x02", at + 4)) {
        put(at + 24);
    }
    for (std::size_t at = bytes.find("PK\x03\x04"); at != std::string::npos;
         at = bytes.find("PK\x03\x04", at + 4)) {
        put(at + 22);
    }
    return bytes;
}

}  // namespace aftercurve::test
