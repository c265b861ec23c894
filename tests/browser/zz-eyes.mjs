import { Station, Visitor } from "./harness.mjs";
import { createServer } from "node:http";
const station = await Station.start({copy:true});
const mobile = process.env.MOB==="1";
const ctx = await station.browser.newContext(mobile ? {viewport:{width:390,height:844},hasTouch:true,isMobile:true,deviceScaleFactor:2,reducedMotion:"reduce",serviceWorkers:"block",permissions:["clipboard-read","clipboard-write"]}:{viewport:{width:1440,height:900},reducedMotion:"reduce",serviceWorkers:"block",permissions:["clipboard-read","clipboard-write"]});
ctx.setDefaultTimeout(25000);
const v = new Visitor(station, ctx);
const page = await ctx.newPage();
await page.addInitScript(() => addEventListener("TrunkApplicationStarted", () => { document.documentElement.dataset.started = "yes"; }));
await page.goto(station.address);
await page.locator("html[data-started]").waitFor({timeout:60000});
const shot = (n)=>page.screenshot({path:`/tmp/eyes/${n}.png`});
const G = {station,ctx,page,v,shot, text: async(s="body")=>page.locator(s).first().innerText(),
 snap: async(s="body")=>page.locator(s).first().ariaSnapshot(), wait:(ms)=>page.waitForTimeout(ms)};
G.G=G;
const AF = Object.getPrototypeOf(async function(){}).constructor;
createServer(async(q,r)=>{ let b=""; for await(const c of q) b+=c;
 if(b==="quit"){ r.end("bye"); await station.stop(); process.exit(0);}
 try{ const x = await new AF(...Object.keys(G), b)(...Object.values(G)); r.end((typeof x==="string"?x:JSON.stringify(x,null,1)??"ok")+(v.faults.length?"\nFAULTS "+JSON.stringify(v.faults):"")+"\n"); }catch(e){ r.end("ERR "+e.message.slice(0,1500)+"\n"); }
}).listen(+process.env.PORT,"127.0.0.1",()=>console.log("ready"));
