// SPDX-License-Identifier: MIT
//
// Reads a calendar with a library of another maker and prints the lines of expected.tsv (see
// write_calendar.c). Usage: read_node.mjs ical.js|node-ical FILE, with NODE_MODULES set.
import fs from "node:fs";
import path from "node:path";
import { createRequire } from "node:module";

const require = createRequire(path.join(process.env.NODE_MODULES, "index.js"));
const [, , library, file] = process.argv;

function dayBefore(text) {
    const day = new Date(text + "T00:00:00Z");
    day.setUTCDate(day.getUTCDate() - 1);
    return day.toISOString().slice(0, 10);
}

function print(fields) {
    console.log(fields.map((field) => String(field ?? "").replaceAll("\n", "\\n")).join("\t"));
}

async function withIcalJs() {
    const entry = require.resolve("ical.js");
    const ICAL = (await import(entry)).default ?? require("ical.js");
    const calendar = new ICAL.Component(ICAL.parse(fs.readFileSync(file, "utf8")));
    for (const zone of calendar.getAllSubcomponents("vtimezone"))
        ICAL.TimezoneService.register(zone);
    for (const part of calendar.getAllSubcomponents()) {
        if (part.name !== "vevent" && part.name !== "vtodo") continue;
        const task = part.name === "vtodo";
        const end = part.getFirstPropertyValue(task ? "due" : "dtend");
        const start = part.getFirstPropertyValue("dtstart") ?? end;
        const alarm = part.getFirstSubcomponent("valarm");
        const trigger = alarm && alarm.getFirstPropertyValue("trigger");
        const time = (value) => (value.isDate ? "-" : value.toString().slice(11, 16));
        if (!start.isDate && start.zone.tzid !== "Europe/London") throw new Error(start.zone.tzid);
        print([part.getFirstPropertyValue("uid"), part.name.toUpperCase(),
               start.toString().slice(0, 10),
               // DUE without a time is the day itself.
               end.isDate && !task ? dayBefore(end.toString().slice(0, 10))
                   : end.toString().slice(0, 10),
               time(start), time(end), part.getFirstPropertyValue("summary"),
               part.getFirstPropertyValue("description"), part.getFirstPropertyValue("location"),
               part.getFirstPropertyValue("categories"), part.getFirstPropertyValue("status"),
               trigger ? -trigger.toSeconds() / 60 : 0]);
    }
}

async function withNodeIcal() {
    const ical = require("node-ical");
    const entries = Object.values(ical.sync.parseFile(file));
    const onLondonsClock = new Intl.DateTimeFormat("sv-SE", {
        timeZone: "Europe/London", dateStyle: "short", timeStyle: "short" });
    for (const part of entries) {
        if (part.type !== "VEVENT" && part.type !== "VTODO") continue;
        const end = part.end;
        const task = part.type === "VTODO";
        const allDay = part.start === undefined || part.start.dateOnly === true ||
            part.datetype === "date";
        // Days come as local midnights, times as moments.
        const local = (date) =>
            [date.getFullYear(), date.getMonth() + 1, date.getDate()]
                .map((n) => String(n).padStart(2, "0")).join("-");
        const [startDay, startTime] =
            part.start === undefined ? [] : onLondonsClock.format(part.start).split(" ");
        // This library leaves DUE as it stands in the file: a date or a time on London's clock.
        const due = /^(\d{4})(\d\d)(\d\d)(?:T(\d\d)(\d\d)\d\d)?$/.exec(part.due?.val ?? "");
        const [endDay, endTime] = due ? [due.slice(1, 4).join("-"), due.slice(4).join(":")]
            : allDay ? [local(end), "-"] : onLondonsClock.format(end).split(" ");
        const alarm = (part.alarms ?? [])[0];
        const trigger = alarm ? /^-P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$/
            .exec(alarm.trigger.val ?? alarm.trigger) : null;
        const n = (text) => Number(text ?? 0);
        print([part.uid, part.type,
               part.start === undefined ? endDay : allDay ? local(part.start) : startDay,
               allDay && !task ? dayBefore(endDay) : endDay, allDay ? "-" : startTime,
               allDay ? "-" : endTime, part.summary, part.description, part.location,
               [part.categories].flat().join(","), part.status,
               trigger ? n(trigger[1]) * 1440 + n(trigger[2]) * 60 + n(trigger[3]) : 0]);
    }
}

await { "ical.js": withIcalJs, "node-ical": withNodeIcal }[library]();
