// A place in the request: what the schema says of it, what stands there, and how to put or drop it.

/** The last of the schemas a place leads to, and the name it has there. */
function resolve(schemas, schema) {
  const name = schema.$ref?.split("/").pop();
  return name === undefined ? [schema, undefined] : [schemas[name], name];
}

function kindOf(schemas, schema) {
  const [inner] = resolve(schemas, schema);
  if (inner.anyOf) return "quantity";
  if (inner.oneOf) return "object";
  if (inner.type === "array") return listKind(kindOf(schemas, inner.items));
  if (inner.type === "object") return inner.properties ? "object" : mapKind(inner);
  if (inner.type === "string") return inner.enum ? "choice" : "text";
  if (inner.type === "boolean") return "yes-no";
  // A field that takes quantities of several kinds has no type in the document, only its example.
  return inner.type === undefined && typeof inner.examples?.[0] === "string" ? "quantity" : "other";
}

const listKind = (items) => ({ object: "list", text: "lines", choice: "lines" })[items] ?? "other";
const mapKind = (schema) => (typeof schema.additionalProperties === "object" ? "map" : "other");
const isHolder = (value) => value !== null && typeof value === "object";

/** A list's items; none where something else stands in its place. */
export const asList = (value) => (Array.isArray(value) ? value : []);

/** Puts a value under a key, also where the key is "__proto__": an assignment would put it nowhere. */
export function putOwn(holder, key, value) {
  Object.defineProperty(holder, key, { value, writable: true, enumerable: true, configurable: true });
}

/** What a new object begins with: what can only be one thing, and the objects and lists it must have. */
function blank(schemas, schema) {
  const [inner] = resolve(schemas, schema);
  const made = {};
  for (const name of inner.required ?? []) {
    const field = inner.properties[name];
    if (field.enum?.length === 1) made[name] = field.enum[0];
    else if (["list", "lines"].includes(kindOf(schemas, field))) made[name] = [];
    else if (kindOf(schemas, field) === "map") made[name] = {};
    else if (kindOf(schemas, field) === "object") made[name] = blank(schemas, field);
  }
  return made;
}

export class Place {
  constructor(schemas, schema, parent, key, required) {
    const [inner, name] = resolve(schemas, schema);
    Object.assign(this, { schemas, parent, key, required, schema: inner, schemaName: name });
    this.description = schema.description ?? inner.description ?? "";
    this.example = schema.examples?.[0] ?? inner.examples?.[0];
    this.kind = kindOf(schemas, schema);
  }

  /** The JSON Pointer by which the service names this place. */
  get pointer() {
    return `${this.parent.pointer}/${String(this.key).replaceAll("~", "~0").replaceAll("/", "~1")}`;
  }

  get value() {
    const holder = this.parent.value;
    return isHolder(holder) && Object.hasOwn(holder, this.key) ? holder[this.key] : undefined;
  }

  /** What stands here has the shape that the schema says, so that it can be shown; also when nothing stands here. */
  get fits() {
    const value = this.value;
    if (value === undefined) return true;
    if (this.kind === "list" || this.kind === "lines") return Array.isArray(value);
    return isHolder(value) && !Array.isArray(value) === (this.kind === "object" || this.kind === "map");
  }

  /** The object or list that stands here, made where there is none. */
  hold() {
    if (this.value === undefined) this.put(this.schema.type === "array" ? [] : {});
    return this.value;
  }

  put(value) {
    putOwn(this.parent.hold(), this.key, value);
  }

  /** Takes away what stands here, and whatever around it that is empty then and need not be there. */
  drop() {
    const holder = this.parent.value;
    if (holder === undefined) return;
    if (Array.isArray(holder)) holder.splice(this.key, 1);
    else delete holder[this.key];
    if (Object.keys(holder).length === 0 && !this.parent.required) this.parent.drop();
  }

  get names() {
    return Object.keys(this.schema.properties ?? {});
  }

  /** Names that stand here and that the schema does not know. */
  get unknown() {
    return Object.keys(this.value ?? {}).filter((name) => !Object.hasOwn(this.schema.properties, name));
  }

  child(name) {
    const schema = this.kind === "map" ? this.schema.additionalProperties : this.schema.properties[name];
    return new Place(this.schemas, schema, this, name, this.schema.required?.includes(name) ?? false);
  }

  /** Items of a list stay when they are emptied: only their own button takes them away. */
  item(index) {
    const kinds = this.schema.items.discriminator?.mapping;
    const kind = this.value[index]?.kind;
    const $ref = kinds && Object.hasOwn(kinds, kind) ? kinds[kind] : undefined;
    return new Place(this.schemas, $ref ? { $ref } : this.schema.items, this, index, true);
  }

  /** Kinds of the items of this list, where there are several. */
  get kinds() {
    return Object.keys(this.schema.items.discriminator?.mapping ?? {});
  }

  add(kind) {
    const $ref = this.schema.items.discriminator?.mapping[kind];
    this.hold().push(blank(this.schemas, $ref ? { $ref } : this.schema.items));
    return this.item(this.value.length - 1);
  }
}

/** The whole request: the one place without a parent. */
export class Root extends Place {
  constructor(schemas, name, document) {
    super(schemas, { $ref: `#/components/schemas/${name}` }, undefined, "", true);
    this.document = document;
  }

  get pointer() {
    return "";
  }

  get value() {
    return this.document;
  }
}
