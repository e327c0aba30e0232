// @ts-check
// The one Python of a page: its cards and its questions ask the same.
import { Client } from "./client.js";

/** @type {Client | undefined} */
let client;

/** @returns {Client} with the packages that the cards of this page need */
export function python() {
  if (!client) {
    const needs = [...document.querySelectorAll("[data-needs]")].map((root) => root.getAttribute("data-needs") ?? "");
    client = new Client([...new Set(needs.flatMap((names) => names.split(" ").filter(Boolean)))]);
  }
  return client;
}
