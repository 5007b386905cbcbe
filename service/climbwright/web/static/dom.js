// Makes elements. Text goes in as text nodes only, so nothing that was typed or answered can become markup.

/** An element; functions among the attributes listen to the event of that name, false and undefined are left out. */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value !== false && value !== undefined) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children);
  return element;
}

/** The id of the element that shows this place of the request. Escaped, as names of stations may hold blanks. */
export const idOf = (pointer) => `at:${encodeURIComponent(pointer)}`;

/** Opens everything folded around an element, and goes there. */
export function goTo(element) {
  for (let around = element; around; around = around.parentElement) if (around.tagName === "DETAILS") around.open = true;
  element.focus();
}
