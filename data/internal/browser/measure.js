// Measures of what can be seen. Wrapped so that it can be evaluated again.
var { texts, lowContrast, cutOff } = (() => {
  // The texts that can be seen, each with its element and its box.
  const texts = () => {
    const found = [];
    const walker = document.createTreeWalker(document, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (!node.data.trim() || !node.parentElement) continue;
      const style = getComputedStyle(node.parentElement);
      if (style.visibility !== "visible" || style.display === "none") continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const box = range.getBoundingClientRect();
      if (box.width > 0 && box.height > 0) found.push({ text: node.data.trim(), element: node.parentElement, range });
    }
    return found;
  };

  // A computed colour as [red, green, blue, opacity], the first three from 0 to 255.
  const colour = (words) => {
    const numbers = (words.match(/[\d.]+/g) || []).map(Number);
    if (!words.startsWith("rgb")) return [0, 0, 0, words === "none" ? 0 : 1];
    return [numbers[0], numbers[1], numbers[2], numbers.length > 3 ? numbers[3] : 1];
  };

  const over = (top, below) => [0, 1, 2].map((i) => top[i] * top[3] + below[i] * (1 - top[3])).concat(1);

  // What an element paints at a point.
  const painted = (element, x, y) => {
    const style = getComputedStyle(element);
    if (!(element instanceof SVGGeometryElement)) return element instanceof SVGElement ? [0, 0, 0, 0] : colour(style.backgroundColor);
    const at = new DOMPoint(x, y).matrixTransform(element.getScreenCTM().inverse());
    if (style.stroke !== "none" && element.isPointInStroke(at)) return colour(style.stroke);
    const fill = colour(style.fill);
    return element.isPointInFill(at) ? [fill[0], fill[1], fill[2], fill[3] * style.fillOpacity] : [0, 0, 0, 0];
  };

  // The colour behind a point, below an element and those in it.
  const ground = (element, x, y) => {
    const dark = matchMedia("(prefers-color-scheme: dark)").matches && getComputedStyle(document.documentElement).colorScheme.includes("dark");
    let result = dark ? [18, 18, 18, 1] : [255, 255, 255, 1];
    const stack = document.elementsFromPoint(x, y).reverse();
    for (const layer of stack) {
      if (element !== layer && element.contains(layer)) continue;
      result = over(painted(layer, x, y), result);
    }
    return result;
  };

  const luminance = ([r, g, b]) => {
    const linear = [r, g, b].map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
  };

  const contrast = (a, b) => {
    const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
    return (light + 0.05) / (dark + 0.05);
  };

  const lowContrast = (least) => {
    const found = [];
    for (const { text, element, range } of texts()) {
      element.scrollIntoView({ block: "center", behavior: "instant" });
      const box = range.getClientRects()[0];
      const behind = ground(element, box.x + box.width / 2, box.y + box.height / 2);
      const style = getComputedStyle(element);
      const own = colour(element instanceof SVGElement ? style.fill : style.color);
      const ratio = contrast(over(own, behind), behind);
      if (ratio < least) found.push(`${ratio.toFixed(2)}: ${text}`);
    }
    scrollTo(0, 0);
    return found;
  };

  const scrolls = (element) => ["auto", "scroll"].includes(getComputedStyle(element).overflowX);
  const within = (element, is) => element && element !== document.body && (is(element) || within(element.parentElement, is));

  const cutOff = () => {
    scrollTo(0, 0);
    const found = [];
    const slack = 1; // rounding of layout
    const root = document.documentElement;
    if (root.scrollWidth > root.clientWidth + slack) found.push(`the page: ${root.scrollWidth} px wide where ${root.clientWidth} are visible`);
    for (const element of document.querySelectorAll("body *")) {
      const style = getComputedStyle(element);
      if (style.overflowX === "visible" || scrolls(element) || element instanceof SVGElement) continue;
      if (element.scrollWidth > element.clientWidth + slack) found.push(`<${element.localName} ${element.className}>: ${element.scrollWidth} px in ${element.clientWidth}`);
    }
    for (const { text, element, range } of texts()) {
      const box = range.getBoundingClientRect();
      if (within(element, scrolls)) continue; // a reader can bring it into view
      const drawing = element.closest("svg");
      const place = drawing ? drawing.getBoundingClientRect() : { left: 0, right: root.clientWidth, top: 0, bottom: Infinity };
      if (box.left < place.left - slack || box.right > place.right + slack || box.top < place.top - slack || box.bottom > place.bottom + slack) found.push(`text outside: ${text}`);
    }
    return found;
  };

  return { texts, lowContrast, cutOff };
})();
