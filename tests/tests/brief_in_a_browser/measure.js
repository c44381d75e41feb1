// Looks for what can't be read: words beyond an edge, over each other, or too faint. Writes one line for each fault.
const faults = [];
const seen = element => element.getClientRects().length > 0;
const name = element => `${element.tagName} ${element.className?.baseVal ?? element.className} "${element.textContent.trim().slice(0, 40)}"`;

const elements = [...document.body.querySelectorAll('*')].filter(seen).filter(element => element.tagName !== 'SCRIPT');
const page = document.documentElement;
if (page.scrollWidth > page.clientWidth) faults.push(`overflows: the page, ${page.scrollWidth} of ${page.clientWidth}`);
for (const element of elements) {
    if (element instanceof HTMLElement && element.clientWidth > 0 && element.scrollWidth > element.clientWidth + 1) {
        faults.push(`overflows: ${name(element)}, ${element.scrollWidth} of ${element.clientWidth}`);
    }
    const right = element.getBoundingClientRect().right;
    if (element instanceof HTMLElement && right > page.clientWidth + 1) faults.push(`overflows: ${name(element)} ends at ${right}`);
}

let words = 0;
for (const drawing of [...document.querySelectorAll('svg')].filter(seen)) {
    const frame = drawing.getBoundingClientRect();
    const texts = [...drawing.querySelectorAll('text')].map(text => [name(text), text.getBoundingClientRect()]);
    words += texts.length;
    texts.forEach(([one, a], index) => {
        if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 1 || a.bottom > frame.bottom + 1) {
            faults.push(`outside: ${one} of ${drawing.querySelector('title').textContent}`);
        }
        for (const [other, b] of texts.slice(index + 1)) {
            const over = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (over > 0.5 && down > 0.5) faults.push(`overlap: ${one} and ${other} of ${drawing.querySelector('title').textContent}`);
        }
    });
}

// WCAG 2.2: relative luminance and contrast ratio.
const light = colour => {
    const [r, g, b] = colour.match(/[\d.]+/g).slice(0, 3).map(part => part / 255).map(part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
const paper = element => {
    for (let at = element; at; at = at.parentElement) {
        const colour = getComputedStyle(at).backgroundColor;
        if (!/, 0\)$/.test(colour)) return colour;
    }
    return 'rgb(255, 255, 255)';
};
for (const element of elements) {
    const own = [...element.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
    if (!own || ['title', 'desc', 'STYLE'].includes(element.tagName)) continue;
    const style = getComputedStyle(element);
    const ink = light(element instanceof SVGElement ? style.fill : style.color);
    const ground = light(paper(element));
    const contrast = (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
    if (contrast < 4.5) faults.push(`faint: ${name(element)}, ${contrast.toFixed(2)}`);
}

parent.postMessage([`${window.innerWidth} ${elements.length} ${words}`, ...faults].join('\n'), '*');
