"""A thousand lines of everyday talk, our own, that have nothing to do with a punch list.

Frames with slots, filled in a fixed order; several frames hold words that sound like trade words on purpose.
"""

import random

SLOTS = {
    "who": [
        "my sister",
        "the kids",
        "my neighbor",
        "his boss",
        "the teacher",
        "our cousin",
        "grandma",
        "the waiter",
        "a friend of mine",
        "the driver",
    ],
    "when": [
        "on Sunday",
        "last night",
        "before lunch",
        "in the morning",
        "next week",
        "after school",
        "all summer",
        "yesterday",
        "at six",
        "twice a year",
    ],
    "where": [
        "at the beach",
        "in the park",
        "downtown",
        "at the library",
        "by the lake",
        "on the train",
        "at the market",
        "in Florida",
        "at church",
        "near the station",
    ],
    "food": [
        "soup",
        "a sandwich",
        "roast chicken",
        "lentil stew",
        "lettuce and tomato",
        "pancakes",
        "scones and jam",
        "a steak",
        "noodles",
        "apple pie",
    ],
    "thing": [
        "a guitar",
        "a new phone",
        "the newspaper",
        "a birthday card",
        "his jacket",
        "two tickets",
        "a jewel box",
        "the remote",
        "a paper bag",
        "my purse",
    ],
    "feel": [
        "tired",
        "happy about it",
        "a little sick",
        "so proud",
        "bored",
        "much stronger",
        "hungry",
        "worried sick",
        "rather silly",
        "very calm",
    ],
    "number": [
        "three",
        "a dozen",
        "fifty",
        "two hundred",
        "a million",
        "seven",
        "about thirty",
        "a couple of",
        "ninety",
        "four or five",
    ],
}
FRAMES = """
{who} told me a story {when} and I laughed until I cried.
We had {food} {when} and it was better than I thought.
I lost {thing} {where} and somebody handed it in.
Have you ever been {where} {when}? It gets so busy.
She said she was {feel} but I think she was only being polite.
There were {number} people {where} {when}.
The bus was late again {when}, so {who} had to walk.
I can't find {thing}, did {who} take it?
My mother used to make {food} {when} when I was little.
The music was so loud {where} that nobody could talk.
He wrote a letter to {who} and never got an answer.
They say it's going to snow {when}, but the sky looks blue to me.
We watched a film about {number} soldiers and it went on forever.
{who} plays football {where} {when}.
I was {feel} after the exam, and then the results came.
Do you want {food} or should we order something else?
Somebody left {thing} {where} {when}.
The doctor said to drink more water and sleep longer.
{who} is getting married {when}, can you believe it?
It took {number} hours to drive there because of the traffic.
I read {number} pages and fell asleep in the chair.
The dog chased a squirrel {where} and came back {feel}.
She sings in a choir {when} and they're really good.
We paid {number} dollars for parking, which is robbery.
{who} bought {thing} for his birthday.
The children were {feel} when the circus came to town.
My flight was delayed, so I had {food} {where}.
He told the same joke {number} times and nobody smiled.
I called {who} {when} but the line was busy.
You should see the mountains {when}, they look like a painting.
The casino made {number} people rich and the rest of us poor.
I took a picture of {who} {where}.
Let's meet {where} {when} and get {food}.
I'm reading a novel about a pirate and a stolen jewel.
The baby said her first word {when} and we were all {feel}.
{who} sold the car for {number} thousand.
She was wearing a green sweater and carrying {thing}.
A singer from Spain was on the radio {when}.
We ran out of milk, butter and {food}.
The teacher gave {number} of them extra homework.
He's allergic to cats, so he sneezes {when}.
My phone died {where} and I couldn't call {who}.
I had the flu {when} and stayed in bed.
The lawyer sent a letter about the will.
That song always makes me {feel}.
{who} got a promotion and bought everyone {food}.
There's a sale {where} {when}, everything is half price.
We played cards with {who} until midnight.
Her spelling is terrible, but her drawings are lovely.
Somebody's talking on the phone {where}, and it's not me.
I'm thinking of learning Italian {when}.
The match ended with {number} goals, and {who} was {feel}.
He's a few years older than {who}.
Can you pass the salt, please, and some of that {food}?
They went sailing {when} and saw a whale.
I forgot {thing} at home, so we had to go back.
{who} has a cold and can't taste {food}.
The parade was {where} {when}, with {number} horses.
I still write in a diary {when}.
The hotel was lovely, but the breakfast was only {food}.
We were out walking {where} when it started to rain.
{who} swims {number} laps {when}.
It's a great story, even if half of it isn't true.
She cut her own hair {when} and now she's {feel}.
My uncle was a pilot and flew {number} missions.
They're coming for supper {when}, so I'm making {food}.
The test was easy, I finished in {number} minutes.
He speaks {number} languages and still can't find {thing}.
I dreamed about {who} {when}.
The museum has {number} paintings by the same man.
""".strip().splitlines()


def everyday_lines(count: int = 1000) -> list[str]:
    """`count` different lines, the same ones each time."""
    chance, lines = random.Random(4), dict[str, None]()
    while len(lines) < count:
        frame = chance.choice(FRAMES)
        fill = {slot: chance.choice(options) for slot, options in SLOTS.items()}
        line = frame.format(**fill)
        lines[line[0].upper() + line[1:]] = None
    return list(lines)
