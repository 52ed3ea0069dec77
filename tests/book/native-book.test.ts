import { openNativeBook } from "../../pipelines/native-book.ts";
import { describeBook } from "./book-cases.ts";

describeBook("the native engine", () => openNativeBook(":memory:"));
