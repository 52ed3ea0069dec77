import { config } from "zod";

// the page's policy refuses text that is run as code; checks of settings are then made without
config({ jitless: true });
