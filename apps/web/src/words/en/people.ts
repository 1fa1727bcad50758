export const people = {
  signIn: "Sign in",
};
