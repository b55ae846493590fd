// Opens books in Chromium as a reader would, on three screens and on paper, and says what is wrong with them.
//
//   node check.mjs BOOK.html=LEAST-MOST ...     LEAST and MOST pages of A4
//
// Nothing may be said on the console, nothing asked for over a network, nothing reach beyond the screen; words of a picture stay within it and
// off one another; ids are unique and links lead somewhere; axe-core (the rules of WCAG 2 at levels A and AA, contrast among them) finds
// nothing; html-validate finds nothing; on paper no table is cut off, pages are within the range stated, and their text can be read out.
import { readFileSync, rmSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { pathToFileURL } from 'node:url';
import { resolve } from 'node:path';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';
import { HtmlValidate, StaticConfigLoader } from 'html-validate';

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const WIDTHS = [360, 768, 1280];
// A4 and Letter, between the margins of the style, in CSS pixels.
const PAPERS = { A4: (210 - 30) / 25.4 * 96, Letter: 8.5 * 96 - 30 / 25.4 * 96 };

const validator = new HtmlValidate(new StaticConfigLoader({
  extends: ['html-validate:recommended'],
  rules: {
    // Of style, not of the standard.
    'no-inline-style': 'off', 'long-title': 'off', 'no-trailing-whitespace': 'off', 'require-sri': 'off', 'void-style': 'off',
    'attribute-boolean-style': 'off', 'doctype-style': 'off', 'prefer-native-element': 'off',
  },
}));

let wrong = 0;
function fault(book, what) {
  wrong += 1;
  console.error(`${book}: ${what}`);
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
for (const argument of process.argv.slice(2)) {
  const [path, range] = argument.split('=');
  const html = readFileSync(path, 'utf8');
  const report = await validator.validateString(html, path);
  for (const result of report.results) {
    for (const message of result.messages.slice(0, 20)) fault(path, `html-validate: ${message.ruleId}: ${message.message} (${message.line}:${message.column})`);
  }
  const url = pathToFileURL(resolve(path)).href;
  for (const width of WIDTHS) await screen(path, url, width);
  await paper(path, url, range.split('-').map(Number));
}
await browser.close();
process.exit(wrong > 0 ? 1 : 0);

async function open(book, url, width, height) {
  const page = await browser.newPage({ viewport: { width: Math.round(width), height } });
  page.on('console', message => fault(book, `console at ${width}: ${message.text()}`));
  page.on('pageerror', error => fault(book, `error at ${width}: ${error}`));
  page.on('request', request => { if (request.url() !== url) fault(book, `request: ${request.url()}`); });
  await page.goto(url);
  return page;
}

async function screen(book, url, width) {
  const page = await open(book, url, width, 900);
  for (const what of await page.evaluate(look)) fault(book, `at ${width}: ${what}`);
  // The policy of the page keeps scripts out; the one of the test comes in beside it.
  const found = await page.evaluate(`${axe}; axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice'] })`);
  for (const violation of found.violations) {
    fault(book, `axe at ${width}: ${violation.id}: ${violation.help}: ${violation.nodes.slice(0, 3).map(node => node.target.join(' ')).join(', ')} (${violation.nodes.length})`);
  }
  await page.close();
}

// Runs in the page.
function look() {
  const faults = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) faults.push(`the page is ${root.scrollWidth} wide on a screen of ${root.clientWidth}`);
  const ids = [...document.querySelectorAll('[id]')].map(element => element.id);
  for (const id of ids.filter((id, at) => ids.indexOf(id) !== at)) faults.push(`id ${id} stands twice`);
  for (const link of document.querySelectorAll('a[href]')) {
    const target = link.getAttribute('href');
    if (!target.startsWith('#') || !document.getElementById(target.slice(1))) faults.push(`link ${target} leads nowhere`);
  }
  for (const svg of document.querySelectorAll('svg')) {
    const frame = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll('text')].map(text => [text.lastChild.textContent, text.getBoundingClientRect()]);
    const more = 0.75;
    for (const [at, [words, box]] of texts.entries()) {
      if (box.left < frame.left - more || box.right > frame.right + more || box.top < frame.top - more || box.bottom > frame.bottom + more) {
        faults.push(`"${words}" leaves its picture ${svg.querySelector('title').textContent}`);
      }
      // The box of a line is taller than its letters.
      const slim = box => ({ left: box.left + 0.5, right: box.right - 0.5, top: box.top + box.height * 0.2, bottom: box.bottom - box.height * 0.2 });
      const one = slim(box);
      for (const [other, ofOther] of texts.slice(at + 1)) {
        const two = slim(ofOther);
        if (one.left < two.right && two.left < one.right && one.top < two.bottom && two.top < one.bottom) {
          faults.push(`"${words}" covers "${other}" in ${svg.querySelector('title').textContent}`);
        }
      }
    }
  }
  return faults;
}

async function paper(book, url, [least, most]) {
  for (const [format, width] of Object.entries(PAPERS)) {
    const page = await open(book, url, width, 1000);
    await page.emulateMedia({ media: 'print' });
    const cut = await page.evaluate(() => [...document.querySelectorAll('table, svg')]
      .filter(element => element.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
      .map(element => `${element.closest('[id]').id} is ${Math.round(element.getBoundingClientRect().right)} wide`));
    for (const what of cut) fault(book, `${format}: ${what}, more than the paper`);
    const file = `${resolve(book)}.${format}.pdf`;
    await page.pdf({ path: file, format, preferCSSPageSize: true, printBackground: true });
    const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file], { encoding: 'utf8' }))[1]);
    if (format === 'A4' && (pages < least || pages > most)) fault(book, `${pages} pages of A4, not ${least} to ${most}`);
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ');
    const words = await page.evaluate(() => [document.querySelector('h1'), ...document.querySelectorAll('h2')].map(heading => heading.textContent.replace(/\s+/g, ' ').trim()));
    for (const heading of words) {
      // What runs right to left is read out as it is drawn, and a long heading in lines.
      if (heading.length < 60 && !/[\u0590-\u08ff]/.test(heading) && !text.includes(heading)) fault(book, `${format}: "${heading}" cannot be read out of the print`);
    }
    if (!text.includes(`page ${pages} of ${pages}`)) fault(book, `${format}: pages have no numbers`);
    console.log(`${book}: ${pages} pages of ${format}`);
    if (!process.env.KEEP) rmSync(file);
    await page.close();
  }
}
