import { mount } from "svelte";
import "./tokens.css";
import "./page.css";
import Bench from "./Bench.svelte";

const place = document.getElementById("bench");
if (!place) throw new Error("the page has no place for the workbench");
mount(Bench, { target: place });
