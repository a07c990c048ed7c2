// A lifter's client that trusts signed devices only: it opens an encrypted room with a bot, writes once, and prints the answer.
//
//   node signed_only.mjs HOMESERVER USER PASSWORD BOT TEXT MOST_SECONDS
//
// It prints one JSON object: the first answer of the bot that it can read, or null where none came in time.

import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const [homeserver, user, password, bot, text, mostSeconds] = process.argv.slice(2);
// The library lies where the tests keep it, not beside this file.
const require = createRequire(`${process.env.CLIENT_MODULES}/from-here.js`);
const load = (name) => import(pathToFileURL(require.resolve(name)).href);
const sdk = await load("matrix-js-sdk");
const { OnlySignedDevicesIsolationMode } = await load("matrix-js-sdk/lib/crypto-api/index.js");

for (const level of ["trace", "debug", "info", "log", "warn", "error"]) console[level] = () => {};
const silent = { trace() {}, debug() {}, info() {}, warn() {}, error() {}, getChild: () => silent };

const bare = sdk.createClient({ baseUrl: homeserver, logger: silent });
const login = await bare.loginRequest({ type: "m.login.password", identifier: { type: "m.id.user", user }, password });
const client = sdk.createClient({
    baseUrl: homeserver,
    userId: login.user_id,
    deviceId: login.device_id,
    accessToken: login.access_token,
    logger: silent,
});
await client.initRustCrypto({ useIndexedDB: false });
const crypto = client.getCrypto();
await client.startClient({ initialSyncLimit: 20 });
await new Promise((done) => client.on("sync", (state) => state === "PREPARED" && done()));
await crypto.bootstrapCrossSigning({
    authUploadDeviceSigningKeys: (upload) =>
        upload({ type: "m.login.password", identifier: { type: "m.id.user", user }, password }),
});
crypto.setDeviceIsolationMode(new OnlySignedDevicesIsolationMode());

const answered = new Promise((done) => {
    const look = (event) => {
        if (event.getSender() === bot && event.getType() === "m.room.message" && !event.isDecryptionFailure()) {
            done(event.getContent());
        }
    };
    client.on("event", look);
    client.on("Event.decrypted", look);
});
const { room_id: room } = await client.createRoom({
    invite: [bot],
    is_direct: true,
    initial_state: [{ type: "m.room.encryption", state_key: "", content: { algorithm: "m.megolm.v1.aes-sha2" } }],
});
const isIn = () => client.getRoom(room)?.getMember(bot)?.membership === "join";
while (!isIn()) await new Promise((done) => setTimeout(done, 100));
await client.sendTextMessage(room, text);
const late = new Promise((done) => setTimeout(() => done(null), Number(mostSeconds) * 1000));
process.stdout.write(`${JSON.stringify(await Promise.race([answered, late]))}\n`);
process.exit(0);
