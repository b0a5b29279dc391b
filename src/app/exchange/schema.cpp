#include "app/exchange/schema.hpp"

#include "app/exchange/columns.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <limits>

namespace tonebath::app {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kId = "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$";

Json typed(const char* type, bool optional) { return optional ? Json::array({type, "null"}) : Json(type); }

Json column_schema(const ExchangeColumn& column) {
    Json schema;
    switch (column.kind) {
        case CellKind::id: schema = {{"type", "string"}, {"pattern", kId}}; break;
        case CellKind::reference:
            schema = {{"type", typed("string", column.optional)}, {"pattern", kId}, {"description", fmt::format("id of a record of {}", column.refers_to)}};
            break;
        case CellKind::text: schema = {{"type", typed("string", column.optional)}}; break;
        case CellKind::word: {
            Json words = Json::array();
            for (const std::string_view word : column.words) {
                words.push_back(word);
            }
            if (column.optional) {
                words.push_back(nullptr);
            }
            schema = {{"enum", words}};
            break;
        }
        case CellKind::number: schema = {{"type", typed("number", column.optional)}, {"description", fmt::format("in {}", column.unit)}}; break;
        case CellKind::whole:
            schema = {{"type", typed("integer", column.optional)}};
            if (!column.large) {
                schema["minimum"] = std::numeric_limits<int>::min();
                schema["maximum"] = std::numeric_limits<int>::max();
            }
            if (!column.unit.empty()) {
                schema["description"] = fmt::format("in {}", column.unit);
            }
            break;
        case CellKind::yes_no: schema = {{"type", typed("boolean", column.optional)}}; break;
        case CellKind::moment:
            schema = {{"type", typed("string", column.optional)},
                      {"format", "date-time"},
                      {"description", "ISO 8601 with the offset of the place where it was written down"}};
            break;
    }
    return schema;
}

}  // namespace

std::vector<std::pair<std::string, std::string>> schemas() {
    std::vector<std::pair<std::string, std::string>> all;
    for (const ExchangeNoun& noun : exchange_nouns()) {
        Json properties;
        Json names = Json::array();
        for (const ExchangeColumn& column : noun.columns) {
            properties[std::string(column.name)] = column_schema(column);
            names.push_back(column.name);
        }
        const Json schema{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                          {"$id", fmt::format("urn:tonebath:schema:{}", noun.table)},
                          {"title", noun.word},
                          {"description", fmt::format("Every {} of a log. What is not known is null.", noun.word)},
                          {"type", "array"},
                          {"items", {{"type", "object"}, {"properties", properties}, {"required", names}, {"additionalProperties", false}}}};
        all.emplace_back(fmt::format("{}.schema.json", noun.table), schema.dump(2) + "\n");
    }
    return all;
}

}  // namespace tonebath::app
