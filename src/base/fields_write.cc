// SPDX-License-Identifier: Apache-2.0
#include "base/fields.h"

namespace tautmark {
namespace {

bool is_absent(const TypeInfo& type, const void* value) {
  if (type.shape == Shape::leaf) return type.write(value).empty();
  return type.shape != Shape::record && type.size(value) == 0;
}

void write_fields(std::span<const FieldInfo> fields, const void* record, Node& map) {
  for (const FieldInfo& field : fields) {
    const TypeInfo& type = field.type();
    const void* member = field.get(record);
    if (!is_required(field) && is_absent(type, member)) continue;
    add_member(map, std::string(field.key), write_value(type, member));
  }
}

}  // namespace

Node write_value(const TypeInfo& type, const void* value) {
  switch (type.shape) {
    case Shape::leaf: {
      // Only whole numbers and booleans are bare in JSON; every other leaf is text.
      return scalar_node(type.write(value), type.json_type == "string");
    }
    case Shape::optional:
      return write_value(type.element(), type.item(value, 0));
    case Shape::list: {
      Node list;
      list.shape = NodeShape::list;
      for (std::size_t i = 0; i < type.size(value); ++i)
        list.items.push_back(write_value(type.element(), type.item(value, i)));
      return list;
    }
    case Shape::record:
      break;
  }
  Node map;
  map.shape = NodeShape::map;
  if (type.tag != nullptr) {
    const TypeInfo& body = type.tag->alternatives[type.tag->index(value)]();
    add_member(map, std::string(type.tag->key), scalar_node(std::string(body.name), true));
    write_fields(type.fields(), value, map);
    write_fields(body.fields(), type.tag->body(value), map);
  } else {
    write_fields(type.fields(), value, map);
  }
  return map;
}

}  // namespace tautmark
