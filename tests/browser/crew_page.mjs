// Uses crew.html as a crew does, in Debian's Chromium:  node crew_page.mjs PROGRAM SOURCE_FOLDER WORK_FOLDER
// What the page says is compared with cut-sheet.csv, which other code writes.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const [program, source, work] = process.argv.slice(2);

/** Rows of a comma-separated file by RFC 4180. */
function csvRows(text) {
  const rows = [[]];
  const cell = /("(?:[^"]|"")*"|[^",\r\n]*)(,|\r\n)/gy;
  for (let found = cell.exec(text); found; found = cell.exec(text)) {
    rows.at(-1).push(found[1].startsWith('"') ? found[1].slice(1, -1).replaceAll('""', '"') : found[1]);
    if (found[2] === '\r\n') rows.push([]);
  }
  const [heads, ...rest] = rows.slice(0, -1);
  return rest.map((cells) => Object.fromEntries(heads.map((head, i) => [head, cells[i]])));
}

async function facts(page) {
  return page.evaluate(() => {
    const terms = [...document.querySelectorAll('#facts dt')];
    return Object.fromEntries(terms.map((term) => [term.textContent, term.nextElementSibling.textContent]));
  });
}

const viewBox = (page) => page.$eval('#plan', (svg) => svg.getAttribute('viewBox').split(' ').map(Number));
const picked = (page) => page.$eval('#pick', (list) => Number(list.value));

/** A figure in feet, inches and sixteenths stands on one line, wherever it is the only way to read it. */
async function figuresStandOnOneLine(page, us) {
  if (!us) return;
  const boxes = await page.$$eval('.figure', (all) => all.map((one) => one.getClientRects().length));
  assert.ok(boxes.includes(1));
  assert.ok(boxes.every((lines) => lines <= 1)); // 0: in a list that is closed
  const [shown, kept] = await page.$eval('#facts', (list) => [list.textContent.match(/ \d+\/\d+"/g) || [],
    [...list.querySelectorAll('.figure')].map((one) => one.textContent)]);
  assert.equal(shown.length, kept.length);
}

async function everyStationReadsAsInTheCutSheet(page, stations, us) {
  for (let i = 0; i < stations.length; ++i) {
    await page.selectOption('#pick', String(i));
    const shown = await facts(page);
    const wanted = stations[i];
    assert.equal(shown.Station, `${wanted.station}, trench ${wanted.trench} (${wanted.from_source})`);
    assert.equal(shown.Cut, wanted.cut_to_rule);
    assert.equal(shown.Dig, wanted.dig === 'hand' ? 'BY HAND' : wanted.dig);
    assert.equal(shown.Expect ?? '', wanted.expect);
    assert.equal(shown.Fitting ?? '', wanted.fitting);
    if (us && wanted.grade_rod_bottom_ft) {
      assert.equal(shown['Grade rod at trench bottom'], `${wanted.grade_rod_bottom_ft} ft, ${wanted.grade_rod_bottom_to_rule}`);
    }
  }
}

/** A thumb beside the station still means it; a drag means none. */
async function tapsPickAndDragsMove(page, stations) {
  await page.click('#whole');
  await page.locator('#plan').scrollIntoViewIfNeeded();
  const index = Math.floor(stations.length / 2);
  const box = await page.locator(`.station[data-row="${index}"]`).boundingBox();
  await page.touchscreen.tap(box.x + box.width / 2 + 1, box.y + box.height / 2 + 1);
  assert.equal((await facts(page)).Station.split(',')[0], stations[await picked(page)].station);
  const near = await page.evaluate(([a, b]) => {
    const rows = JSON.parse(document.getElementById('data').textContent).rows;
    return Math.hypot(rows[a].x_m - rows[b].x_m, rows[a].y_m - rows[b].y_m);
  }, [index, await picked(page)]);
  assert.ok(near < 0.5, `tapped station ${index}, got one ${near} m away`);

  const before = { station: await picked(page), view: await viewBox(page) };
  const plan = await page.locator('#plan').boundingBox();
  await page.mouse.move(plan.x + 100, plan.y + 100);
  await page.mouse.down();
  await page.mouse.move(plan.x + 180, plan.y + 140, { steps: 6 });
  await page.mouse.up();
  const moved = await viewBox(page);
  assert.ok(moved[0] < before.view[0] && moved[1] < before.view[1], 'the plan follows the finger');
  assert.equal(await picked(page), before.station);

  await page.click('#closer');
  assert.ok((await viewBox(page))[2] < moved[2]);
  await page.click('#whole');
  assert.deepEqual(await viewBox(page), before.view);
}

async function pinchZooms(page) {
  const plan = await page.locator('#plan').boundingBox();
  const x = plan.x + plan.width / 2;
  const y = plan.y + plan.height / 2;
  const session = await page.context().newCDPSession(page);
  const touch = (type, apart) => session.send('Input.dispatchTouchEvent', {
    type, touchPoints: type === 'touchEnd' ? [] : [{ x: x - apart, y, id: 1 }, { x: x + apart, y, id: 2 }] });
  const before = await viewBox(page);
  const station = await picked(page);
  await touch('touchStart', 40);
  for (const apart of [50, 70, 90]) await touch('touchMove', apart);
  await touch('touchEnd', 0);
  const after = await viewBox(page);
  assert.ok(after[2] < before[2] * 0.7, `fingers 2.25 times apart: ${before[2]} m wide became ${after[2]}`);
  assert.equal(await picked(page), station);
  await page.click('#whole');
}

async function keysAndNamesSuffice(page) {
  await page.focus('#plan');
  const before = await viewBox(page);
  await page.keyboard.press('+');
  assert.ok((await viewBox(page))[2] < before[2]);
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Home');
  assert.deepEqual(await viewBox(page), before);
  await page.selectOption('#pick', '0');
  await page.getByRole('button', { name: 'Upstream', exact: true }).focus();
  await page.keyboard.press('Enter');
  assert.equal(await picked(page), 1);
  await page.getByRole('button', { name: 'Downstream', exact: true }).press('Space');
  assert.equal(await picked(page), 0);
  await page.getByRole('combobox', { name: 'Station' }).focus();
  await page.getByRole('textbox', { name: /Height of instrument/ }).focus();
  await page.getByRole('checkbox', { name: 'dug to depth here' }).focus();
  assert.equal(await page.locator('#facts').getAttribute('aria-live'), 'polite');
}

/** WCAG 2.2, 2.5.5: targets of 44 by 44 CSS pixels at least; a glove wants no less. */
async function targetsAreLarge(page) {
  for (const control of await page.$$('button, select, input')) {
    const box = await control.boundingBox();
    assert.ok(box.width >= 44 && box.height >= 44, `${box.width} x ${box.height}`);
  }
}

async function ticksStay(page, crossings) {
  const boxes = page.getByRole('checkbox', { name: 'exposed by hand and measured' });
  assert.equal(await boxes.count(), crossings.length);
  await page.selectOption('#pick', '2');
  await page.check('#dug');
  if (crossings.length > 0) await boxes.first().check();
  await page.reload();
  assert.equal(await page.isChecked('#dug'), false); // station 0 is shown, 2 was ticked
  await page.selectOption('#pick', '2');
  assert.equal(await page.isChecked('#dug'), true);
  assert.equal(await page.locator('.station[data-row="2"].dug').count(), 1);
  if (crossings.length > 0) assert.equal(await boxes.first().isChecked(), true);
}

async function anotherLevelGivesOtherRods(page, stations, us) {
  if (!us) return;
  await page.selectOption('#pick', '0');
  await page.fill('#sight', String(Number(stations[0].trench_bottom_ft) + 5));
  const rod = (await facts(page))['Grade rod at trench bottom'];
  assert.ok(Math.abs(parseFloat(rod) - 5) <= 0.011, rod); // the bottom is given to 0.01 ft
  await page.fill('#sight', 'high');
  assert.match(await page.textContent('#level'), /Not a height/);
  assert.equal((await facts(page))['Grade rod at trench bottom'], 'set the height of instrument');
  await page.fill('#sight', '');
}

async function crossingsStandInDiggingOrder(page, crossings) {
  const items = await page.locator('ol.crossings li').allTextContents();
  assert.equal(items.length, crossings.length);
  items.forEach((item, i) => {
    assert.ok(item.includes(`trench ${crossings[i].trench} at ${crossings[i].station}`), item);
    assert.match(item, /DEPTH UNKNOWN|top recorded at/);
  });
}

async function checkLot(browser, lot, args) {
  const out = join(work, lot + args.join(''));
  execFileSync(program, ['plan', join(source, 'testdata', lot, 'job.toml'), '--out', out, ...args]);
  const rows = csvRows(readFileSync(join(out, 'cut-sheet.csv'), 'utf8'));
  const stations = rows.filter((row) => row.row === 'station');
  const crossings = stations.flatMap((row) => row.expect.split('; ').filter((one) => one.includes(' crosses'))
    .map(() => row));
  const us = 'station_ft' in rows[0];
  assert.ok(stations.length > 4);

  const context = await browser.newContext({ viewport: { width: 412, height: 800 }, hasTouch: true, isMobile: true });
  await context.setOffline(true);
  const page = await context.newPage();
  const asked = [];
  const complaints = [];
  page.on('request', (request) => asked.push(request.url()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
  const address = pathToFileURL(join(out, 'crew.html')).href;
  await page.goto(address);
  await page.screenshot({ path: join(work, `${lot}${args.join('')}.png`), fullPage: true });

  await everyStationReadsAsInTheCutSheet(page, stations, us);
  await figuresStandOnOneLine(page, us);
  await tapsPickAndDragsMove(page, stations);
  await pinchZooms(page);
  await keysAndNamesSuffice(page);
  await targetsAreLarge(page);
  await crossingsStandInDiggingOrder(page, crossings);
  await ticksStay(page, crossings);
  await anotherLevelGivesOtherRods(page, stations, us);
  const text = await page.textContent('body');
  rows.filter((row) => row.row === 'caution').forEach((row) => assert.ok(text.includes(row.note), row.note));
  await page.emulateMedia({ media: 'print' });
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  assert.equal(await page.isVisible('table'), true);
  assert.equal(await page.isVisible('#closer'), false);
  assert.equal(await page.locator('tbody tr').count(), stations.length);
  assert.deepEqual(complaints, []);
  assert.ok(asked.every((url) => url === address), asked.join(' '));
  await context.close();
}

rmSync(work, { recursive: true, force: true });
mkdirSync(work, { recursive: true });
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
try {
  await checkLot(browser, 'quillet-lane', []);
  await checkLot(browser, 'quillet-lane', ['--outlet', 'curb']);
  await checkLot(browser, 'brinkholt', []);
  await checkLot(browser, 'tape', []);
} finally {
  await browser.close();
}
console.log('crew page: 4 pages used');
