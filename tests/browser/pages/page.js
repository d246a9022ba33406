// What both pages share: finding elements through shadow trees, and where they stand.

function* within(root) {
  for (const element of root.querySelectorAll('*')) {
    yield element
    if (element.shadowRoot) yield* within(element.shadowRoot)
  }
}

// Every element that the selector matches, in the order of the document.
function deep(selector) {
  return [...within(document)].filter(element => element.matches(selector))
}

// Every element within one that has the selector, through shadow trees too.
function inside(element, selector) {
  const roots = element.shadowRoot ? [element, element.shadowRoot] : [element]
  return roots.flatMap(root => [...within(root)]).filter(found => found.matches(selector))
}

// The one element that the selector matches, of those that satisfy the condition.
function only(selector, condition = () => true) {
  const found = deep(selector).filter(condition)
  if (found.length !== 1) throw new Error(`${selector}: expected one element, got ${found.length}`)
  return found[0]
}

// The element that has the focus, within shadow trees too.
function focused() {
  let element = document.activeElement
  while (element.shadowRoot?.activeElement) element = element.shadowRoot.activeElement
  return element
}

// Whether an element feels the pointer; what has been dragged away may leave a shadow that does not.
function touchable(element) {
  return getComputedStyle(element).pointerEvents !== 'none'
}

// The middle of the one element to be touched, after it has been brought into sight.
function middle(selector, scroll = true) {
  const element = only(selector, touchable)
  if (scroll) element.scrollIntoView({ block: 'center' })
  const box = element.getBoundingClientRect()
  if (!box.width || !box.height) throw new Error(`${selector}: is not on the screen`)
  return [box.x + box.width / 2, box.y + box.height / 2]
}

// Whether all that the selector finds on the screen stands higher than what is before it.
function raised(selector) {
  const height = element => {
    const box = element.getBoundingClientRect()
    return box.y + box.height / 2
  }
  const shown = deep(selector).filter(element => element.getBoundingClientRect().height)
  return shown.length > 0 && shown.every(e => height(e) < height(e.previousElementSibling) - 2)
}

// A turn of the event loop that the page has drawn.
function drawn() {
  return new Promise(resolve => requestAnimationFrame(() => setTimeout(resolve)))
}

// As long as a hand rests over a place; one reader takes less for passing by.
function rested() {
  return new Promise(resolve => setTimeout(resolve, 60))
}

const timer = window.setTimeout // a page may make its reader's run faster

async function until(condition, what) {
  for (const end = performance.now() + 10_000; performance.now() < end;) {
    if (condition()) return
    await new Promise(resolve => timer(resolve, 2))
  }
  throw new Error(`waited in vain: ${what}`)
}
