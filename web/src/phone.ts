import { mount } from "svelte";
import "./tokens.css";
import "./page.css";
import Phone from "./pages/phone/Phone.svelte";

const place = document.getElementById("phone");
if (!place) throw new Error("the page has no place for the phone's part");
mount(Phone, { target: place });
